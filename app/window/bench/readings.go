package bench

import (
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/faults/judge"
	"bellout/model"
)

// readings is the list of readings, the newest first. Only the lines in view
// exist, however many readings there are.
type readings struct {
	widget.List
	panel *panel
	list  []model.Reading // by number, rising
	quiet bool            // the choice is not made by hand
}

func newReadings(p *panel) *readings {
	r := &readings{panel: p}
	r.Length = func() int { return len(r.list) }
	r.CreateItem = func() fyne.CanvasObject { return newReadingRow(p.size) }
	r.UpdateItem = func(id widget.ListItemID, object fyne.CanvasObject) {
		if reading, there := r.at(id); there {
			object.(*readingRow).set(reading, p.bench.markOf(reading))
		}
	}
	r.OnSelected = func(id widget.ListItemID) {
		if reading, there := r.at(id); there && p.bench.draft.chosen != reading.Number {
			p.bench.draft.chosen = reading.Number
			p.showChosen()
		}
		if !r.quiet { // the toolkit gives the keyboard to its own lists only
			p.bench.focus(r)
		}
	}
	r.HideSeparators = true
	r.ExtendBaseWidget(r)
	return r
}

func (r *readings) at(id widget.ListItemID) (model.Reading, bool) {
	if id < 0 || id >= len(r.list) {
		return model.Reading{}, false
	}
	return r.list[len(r.list)-1-id], true
}

// take reads the machine's readings anew.
func (r *readings) take() {
	r.list = slices.Clone(r.panel.bench.desk.Machine().Readings)
	slices.SortFunc(r.list, func(a, b model.Reading) int { return int(a.Number - b.Number) })
	r.quiet = true
	defer func() { r.quiet = false }()
	r.UnselectAll()
	if chosen := r.panel.bench.draft.chosen; chosen > 0 {
		for i, reading := range r.list {
			if reading.Number == chosen {
				r.Select(len(r.list) - 1 - i)
			}
		}
	}
	r.Refresh()
}

// TypedKey walks with the arrows, strikes out with Delete, and hands on what the
// window knows.
func (r *readings) TypedKey(event *fyne.KeyEvent) {
	at := -1
	for i := range r.list {
		if reading, _ := r.at(i); reading.Number == r.panel.bench.draft.chosen {
			at = i
		}
	}
	switch event.Name {
	case fyne.KeyDown:
		if at+1 < len(r.list) {
			r.Select(at + 1)
		}
	case fyne.KeyUp:
		if at > 0 {
			r.Select(at - 1)
		}
	case fyne.KeyDelete, fyne.KeyReturn, fyne.KeyEnter:
		r.panel.openStrike()
	case fyne.KeyHome:
		r.Select(0)
	case fyne.KeyEnd:
		r.Select(len(r.list) - 1)
	default:
		if on := r.panel.bench.room.Keys; on != nil && on.Press(keys.Plain(event.Name)) {
			return
		}
		r.List.TypedKey(event)
	}
}

// FocusGained chooses the newest reading where none is chosen, so that the keys
// have something to act on.
func (r *readings) FocusGained() {
	r.List.FocusGained()
	if r.panel.bench.draft.chosen == 0 && len(r.list) > 0 {
		r.Select(0)
	}
	r.panel.hintAgain()
}

// mark is how a reading stands to the map, in the list.
type mark struct {
	sign look.Sign
	word string
}

func (b *Bench) markOf(r model.Reading) mark {
	view := b.desk.View()
	switch {
	case !r.Stands():
		return mark{look.SignStruck, "struck out: " + r.Struck}
	case view.Stale[r.Number]:
		return mark{look.SignStale, "stale: its way was edited since"}
	}
	outcome, known := view.Outcomes[r.Number]
	if !known {
		return mark{look.SignWaiting, "no evidence of conduction"}
	}
	m := meaningOf(outcome)
	return mark{m.sign, m.short}
}

// readingRow is one line of the list: number, sign, tips, value.
type readingRow struct {
	widget.BaseWidget
	size                sizes
	number, tips, value *canvas.Text
	more                *canvas.Text // what was changed, or why it is struck out
	moreText            string
	sign                *canvas.Image
	strike              *canvas.Line
}

func newReadingRow(size sizes) *readingRow {
	t := look.Now()
	r := &readingRow{
		size: size, number: canvas.NewText("", t.Soft), tips: canvas.NewText("", t.Ink), value: canvas.NewText("", t.Ink), more: canvas.NewText("", t.Soft),
		sign: &canvas.Image{FillMode: canvas.ImageFillContain}, strike: canvas.NewLine(t.Soft),
	}
	r.number.TextSize, r.number.TextStyle = size.small, fyne.TextStyle{Monospace: true}
	r.number.Alignment = fyne.TextAlignTrailing
	r.tips.TextSize, r.tips.TextStyle = size.text, fyne.TextStyle{Monospace: true}
	r.value.TextSize, r.value.TextStyle = size.text, fyne.TextStyle{Bold: true}
	r.value.Alignment = fyne.TextAlignTrailing
	r.more.TextSize = size.small
	r.strike.StrokeWidth = 1.5
	r.ExtendBaseWidget(r)
	return r
}

func (r *readingRow) set(reading model.Reading, m mark) {
	t := look.Now()
	r.number.Text = fmt.Sprint(reading.Number)
	r.tips.Text = reading.Red.String() + "  " + reading.Black.String()
	r.value.Text = shortValue(reading)
	r.moreText = shortMore(reading)
	ink := t.Ink
	if !reading.Stands() {
		ink = t.Soft
	}
	r.tips.Color, r.value.Color = ink, ink
	r.strike.Hidden = reading.Stands()
	if drawn := m.sign.Resource(t.Palette); r.sign.Resource == nil || drawn.Name() != r.sign.Resource.Name() {
		r.sign.Resource = drawn
		r.sign.Refresh()
	}
	r.Refresh()
}

// shortValue is the value as it fits into a line.
func shortValue(r model.Reading) string {
	text := judge.ValueText(r)
	if r.Drift == model.DriftRising || r.Drift == model.DriftFalling {
		text += " " + string(r.Drift)
	}
	return text
}

// shortMore is why a reading is struck out, or else what was changed on the
// machine.
func shortMore(r model.Reading) string {
	if !r.Stands() {
		return r.Struck
	}
	var list []string
	for _, condition := range r.Conditions {
		list = append(list, conditionShort(condition))
	}
	return strings.Join(list, ", ")
}

// CreateRenderer draws the line.
func (r *readingRow) CreateRenderer() fyne.WidgetRenderer { return &readingRowRenderer{r} }

type readingRowRenderer struct{ row *readingRow }

func (r *readingRowRenderer) MinSize() fyne.Size {
	return fyne.NewSize(120, float32(int(r.row.size.text*1.5)))
}

func (r *readingRowRenderer) Layout(size fyne.Size) {
	row := r.row
	middle := func(object fyne.CanvasObject, x, wide, high float32) {
		object.Move(fyne.NewPos(x, (size.Height-high)/2))
		object.Resize(fyne.NewSize(wide, high))
	}
	number := fyne.MeasureText("0000", row.size.small, row.number.TextStyle)
	middle(row.number, 2, number.Width, number.Height)
	side := row.size.text * 1.15
	left := number.Width + 10
	middle(row.sign, left, side, side)
	left += side + 8
	value := row.value.MinSize()
	middle(row.value, size.Width-value.Width-6, value.Width, value.Height)
	room := size.Width - left - value.Width - 14
	row.tips.TextSize = row.size.text
	if wide := row.tips.MinSize().Width; wide > room && room > 0 { // never cut a reference
		row.tips.TextSize = max(float32(int(row.size.text*room/wide)), 6)
	}
	middle(row.tips, left, room, row.tips.MinSize().Height)
	tips := row.tips.MinSize().Width
	middle(row.more, left+tips+10, max(room-tips-12, 0), row.more.MinSize().Height)
	row.more.Text = look.Cut(row.moreText, room-tips-12, row.size.small, row.more.TextStyle)
	row.more.Hidden = room-tips < row.size.small*4
	row.strike.Position1 = fyne.NewPos(left-2, size.Height/2)
	row.strike.Position2 = fyne.NewPos(left+tips+2, size.Height/2)
}

func (r *readingRowRenderer) Refresh() {
	r.Layout(r.row.Size())
	for _, object := range []fyne.CanvasObject{r.row.number, r.row.tips, r.row.value, r.row.more, r.row.strike} {
		object.Refresh()
	}
}

func (r *readingRowRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.row.number, r.row.sign, r.row.tips, r.row.value, r.row.more, r.row.strike}
}

func (r *readingRowRenderer) Destroy() {}

// chosenWords say all of a reading that the line has no room for.
func (b *Bench) chosenWords(r model.Reading) string {
	parts := []string{fmt.Sprintf("Reading %d", r.Number)}
	if !r.At.IsZero() {
		parts[0] += " of " + r.At.Local().Format("2 Jan 2006 15:04")
	}
	parts = append(parts, b.markOf(r).word)
	for _, condition := range r.Conditions {
		parts = append(parts, conditionWords(condition))
	}
	if r.Note != "" {
		parts = append(parts, "note: "+r.Note)
	}
	return strings.Join(parts, "; ") + "."
}
