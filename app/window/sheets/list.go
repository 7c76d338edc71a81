package sheets

import (
	"image/color"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bellout/app/sheets/book"
	"bellout/app/window/look"
)

// Entries beside the sheets of the book.
const (
	wholeBook = "book"
	labels    = "labels"
	replacing = "replacing " // and the device
)

// entry is one line of the list.
type entry struct {
	name, title string
	head        string // a heading above it
}

// list is the column of sheets. It takes the focus: arrows choose, page keys and
// signs go to the preview.
type list struct {
	widget.BaseWidget
	place   *Place
	object  *fyne.Container
	rows    *fyne.Container
	scroll  *container.Scroll
	ring    *canvas.Rectangle
	entries []entry
}

const listWidth = 210

func newList(p *Place) *list {
	l := &list{place: p, rows: container.New(&look.Rows{Gap: 1}), ring: canvas.NewRectangle(color.Transparent)}
	l.ring.StrokeWidth, l.ring.StrokeColor = 2, color.Transparent
	l.scroll = container.NewVScroll(look.Inset(8, l.rows))
	l.scroll.SetMinSize(fyne.NewSize(listWidth*look.Now().Scale(), 100))
	l.ExtendBaseWidget(l)
	l.object = container.NewStack(l)
	return l
}

// CreateRenderer shows the rows.
func (l *list) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(container.NewStack(l.ring, l.scroll))
}

func (l *list) all() []entry {
	var found []entry
	found = append(found, entry{states, "States, before and after", "The machine"}, entry{joining, "Another laptop's work", ""})
	device := l.place.device()
	if name, is := strings.CutPrefix(l.place.shown, replacing); is && device == "" {
		device = name
	}
	if device != "" {
		found = append(found, entry{replacing + device, "Replacing " + device, ""})
	}
	head := "Sheets"
	for _, k := range book.Kinds() {
		found = append(found, entry{k.Name, k.Title, head})
		head = ""
	}
	return append(found, entry{labels, "Labels", ""}, entry{wholeBook, "The whole book", ""})
}

func (l *list) fill() {
	l.entries = l.all()
	l.rows.RemoveAll()
	t := look.Now()
	for _, e := range l.entries {
		if e.head != "" {
			l.rows.Add(look.Gap(6))
			l.rows.Add(look.Line(e.head, t.Soft, theme.SizeNameText, fyne.TextStyle{Bold: true}))
		}
		l.rows.Add(newLine(e.title, e.name == l.place.shown, func() {
			l.place.choose(e.name)
			l.place.focusOn(l)
		}))
	}
	l.rows.Refresh()
}

// FocusGained shows the focus.
func (l *list) FocusGained() { l.outline(true) }

// FocusLost ends it.
func (l *list) FocusLost() { l.outline(false) }

func (l *list) outline(on bool) {
	l.ring.StrokeColor = color.Transparent
	if on {
		l.ring.StrokeColor = look.Now().Accent
	}
	l.ring.Refresh()
}

// TypedRune zooms.
func (l *list) TypedRune(r rune) { l.place.preview.TypedRune(r) }

// TypedKey chooses, or goes through the pages.
func (l *list) TypedKey(event *fyne.KeyEvent) {
	switch event.Name {
	case fyne.KeyUp:
		l.step(-1)
	case fyne.KeyDown:
		l.step(1)
	default:
		l.place.preview.TypedKey(event)
	}
}

func (l *list) step(by int) {
	for at, e := range l.entries {
		if e.name == l.place.shown {
			if next := at + by; next >= 0 && next < len(l.entries) {
				l.place.choose(l.entries[next].name)
			}
			return
		}
	}
}

// TypedShortcut hands it on.
func (l *list) TypedShortcut(shortcut fyne.Shortcut) { l.place.room.Keys.PressShortcut(shortcut) }

// line is one entry that can be tapped.
type line struct {
	widget.BaseWidget
	text   string
	chosen bool
	tap    func()
}

func newLine(text string, chosen bool, tap func()) *line {
	n := &line{text: text, chosen: chosen, tap: tap}
	n.ExtendBaseWidget(n)
	return n
}

// Tapped chooses it.
func (n *line) Tapped(*fyne.PointEvent) { n.tap() }

// CreateRenderer draws it.
func (n *line) CreateRenderer() fyne.WidgetRenderer {
	t := look.Now()
	ground := canvas.NewRectangle(color.Transparent)
	ground.CornerRadius = 3
	style := fyne.TextStyle{}
	if n.chosen {
		ground.FillColor, style.Bold = t.Chosen, true
		ground.StrokeColor, ground.StrokeWidth = t.Accent, 1
	}
	text := look.Line(n.text, t.Ink, theme.SizeNameText, style)
	return widget.NewSimpleRenderer(container.NewStack(ground, look.Inset(5, text)))
}

var _ fyne.Focusable = (*list)(nil)
