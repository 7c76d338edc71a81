package parts

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/model"
)

// table shows the rows of the listing: a head that sorts, and a list of which
// only the rows in view exist.
type table struct {
	place  *Place
	object *fyne.Container
	head   *fyne.Container
	body   *body
	marked map[string]bool // IDs of the rows that an edit is for
	cursor int             // place in the rows that are shown
	anchor int             // where a run of marked rows began
}

func newTable(p *Place) *table {
	t := &table{place: p, marked: map[string]bool{}, head: container.NewStack()}
	t.body = newBody(t)
	t.object = container.NewBorder(t.head, nil, nil, nil, t.body)
	return t
}

// weights say how wide a column is beside the others; 10 where nothing is said.
var weights = map[string]float32{
	"title": 22, "note": 16, "reason": 30, "conditions": 14, "at": 32, "mode": 15, "from": 12, "to": 12, "red": 12, "black": 12,
	"colour": 8, "gauge": 11, "length_m": 11, "removed": 8, "state": 8, "value": 9, "section": 9, "volts": 8, "min_v": 11, "max_v": 11,
	"load_a": 11, "limit_a": 11, "failed_at": 18, "device": 13, "wire": 9, "terminal": 9, "health": 13, "meter": 8, "drift": 7, "struck": 12, "zone": 15, "kind": 13, "event": 13,
}

// headings are the names of columns that stand with their unit.
var headings = map[string]string{
	"load_a": "load, A", "limit_a": "limit, A", "length_m": "length, m", "min_v": "least, V", "max_v": "most, V", "volts": "volts", "failed_at": "failed at",
}

func heading(name string) string {
	if words, set := headings[name]; set {
		return words
	}
	return name
}

func (t *table) parts() []float32 {
	l := t.place.listing
	if l == nil {
		return nil
	}
	list := make([]float32, len(l.Header))
	for i, name := range l.Header {
		list[i] = 10
		if weight, set := weights[name]; set {
			list[i] = weight
		}
	}
	return list
}

// fill shows the rows as they are arranged now.
func (t *table) fill() {
	t.cursor = min(t.cursor, max(len(t.place.places)-1, 0))
	t.fillHead()
	t.body.Refresh()
}

func (t *table) fillHead() {
	l := t.place.listing
	cells := make([]fyne.CanvasObject, len(l.Header))
	for i, name := range l.Header {
		words := heading(name)
		if t.place.order.Column == i {
			words += map[bool]string{false: " \u2191", true: " \u2193"}[t.place.order.Down]
		}
		press := look.NewPress(words, "", func() { t.sortBy(i) })
		press.Cut, press.Chosen = true, t.place.order.Column == i
		cells[i] = press
	}
	t.head.Objects = []fyne.CanvasObject{container.New(&look.Shares{Gap: 2, Parts: t.parts()}, cells...)}
	t.head.Refresh()
}

// sortBy sorts by a column; once more turns it round.
func (t *table) sortBy(column int) {
	order := &t.place.order
	order.Down = order.Column == column && !order.Down
	order.Column = column
	t.place.arrange()
}

func (t *table) focus() { t.place.focusOn(t.body) }

func (t *table) unmark() {
	clear(t.marked)
	t.cursor, t.anchor = 0, 0
}

// row returns the row at a place of those that are shown; nil if there is none.
func (t *table) row(at int) model.Row {
	p := t.place
	if p.listing == nil || at < 0 || at >= len(p.places) {
		return nil
	}
	return p.listing.Row(p.places[at])
}

// at is the row that the cursor is on; nil if there is none.
func (t *table) at() model.Row { return t.row(t.cursor) }

// rows are those that an edit is for: the marked ones, in the machine's order,
// else none.
func (t *table) rows() []model.Row {
	var list []model.Row
	for at := range t.place.places {
		if row := t.row(at); t.marked[row.ID()] {
			list = append(list, row)
		}
	}
	return list
}

// goTo moves the cursor, and marks: that row only, or the run from the anchor.
func (t *table) goTo(at int, run bool) {
	if len(t.place.places) == 0 {
		return
	}
	t.cursor = min(max(at, 0), len(t.place.places)-1)
	if !run {
		t.anchor = t.cursor
	}
	clear(t.marked)
	from, to := min(t.anchor, t.cursor), max(t.anchor, t.cursor)
	for i := from; i <= to; i++ {
		t.marked[t.row(i).ID()] = true
	}
	t.body.ScrollTo(t.cursor)
	t.marksChanged()
}

// turn marks one row more, or no longer.
func (t *table) turn(at int) {
	if row := t.row(at); row != nil {
		t.cursor, t.anchor = at, at
		if t.marked[row.ID()] {
			delete(t.marked, row.ID())
		} else {
			t.marked[row.ID()] = true
		}
		t.marksChanged()
	}
}

func (t *table) marksChanged() {
	t.body.Refresh()
	t.place.strip.fill()
}

// tapped is a tap on a row: with Shift a run, with Ctrl one more.
func (t *table) tapped(at int) {
	modifier := fyne.KeyModifier(0)
	if driver, ok := fyne.CurrentApp().Driver().(desktop.Driver); ok {
		modifier = driver.CurrentKeyModifiers()
	}
	t.focus()
	switch {
	case modifier&fyne.KeyModifierShift != 0:
		t.goTo(at, true)
	case modifier&fyne.KeyModifierShortcutDefault != 0:
		t.turn(at)
	default:
		t.goTo(at, false)
	}
}

// body is the list of rows. It takes the focus, and hands on the keys that it
// does not need.
type body struct {
	widget.List
	table *table
	shift bool
}

func newBody(t *table) *body {
	b := &body{table: t}
	b.Length = func() int { return len(t.place.places) }
	b.CreateItem = func() fyne.CanvasObject { return newRow(t) }
	b.UpdateItem = func(at widget.ListItemID, object fyne.CanvasObject) { object.(*row).fill(at) }
	b.HideSeparators = true
	b.ExtendBaseWidget(b)
	return b
}

// Resize keeps the row of the cursor in sight where the list became lower: the
// fields of a row that was just marked take their room from it.
func (b *body) Resize(size fyne.Size) {
	lower := size.Height < b.Size().Height
	b.List.Resize(size)
	if row := b.table.at(); lower && row != nil && b.table.marked[row.ID()] {
		b.ScrollTo(b.table.cursor)
	}
}

var _ desktop.Keyable = (*body)(nil)

// KeyDown notes that Shift is held.
func (b *body) KeyDown(event *fyne.KeyEvent) { b.hold(event, true) }

// KeyUp notes that it is not any more.
func (b *body) KeyUp(event *fyne.KeyEvent) { b.hold(event, false) }

func (b *body) hold(event *fyne.KeyEvent, down bool) {
	if event.Name == desktop.KeyShiftLeft || event.Name == desktop.KeyShiftRight {
		b.shift = down
	}
}

// pageRows is how many rows a page key goes.
const pageRows = 20

// FocusLost forgets Shift: its release goes to whatever has the focus then.
func (b *body) FocusLost() {
	b.shift = false
	b.List.FocusLost()
}

// TypedKey walks, marks, edits and deletes.
func (b *body) TypedKey(event *fyne.KeyEvent) {
	t := b.table
	switch event.Name {
	case fyne.KeyUp:
		t.goTo(t.cursor-1, b.shift)
	case fyne.KeyDown:
		t.goTo(t.cursor+1, b.shift)
	case fyne.KeyPageUp:
		t.goTo(t.cursor-pageRows, b.shift)
	case fyne.KeyPageDown:
		t.goTo(t.cursor+pageRows, b.shift)
	case fyne.KeyHome:
		t.goTo(0, b.shift)
	case fyne.KeyEnd:
		t.goTo(len(t.place.places)-1, b.shift)
	case fyne.KeySpace:
		t.turn(t.cursor)
	case fyne.KeyReturn, fyne.KeyEnter:
		t.place.strip.focus()
	case fyne.KeyDelete, fyne.KeyBackspace:
		t.place.strip.askDelete()
	default:
		t.place.room.Keys.Press(keys.Plain(event.Name))
	}
}

// TypedShortcut pastes and copies, and hands on the rest.
func (b *body) TypedShortcut(shortcut fyne.Shortcut) {
	switch shortcut.(type) {
	case *fyne.ShortcutPaste:
		b.table.place.paste()
	case *fyne.ShortcutCopy:
		b.table.place.copyRows()
	case *fyne.ShortcutSelectAll:
		b.table.anchor = 0
		b.table.goTo(len(b.table.place.places)-1, true)
	default:
		b.table.place.room.Keys.PressShortcut(shortcut)
	}
}
