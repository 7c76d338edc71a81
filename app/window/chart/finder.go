package chart

import (
	"fmt"
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bellout/app/drawing"
	"bellout/app/window/chart/scene"
	"bellout/app/window/keys"
	"bellout/app/window/look"
)

// finder is the field in the sheet's corner: it lists what the words mean while
// they are typed, and Enter goes from one match to the next.
type finder struct {
	chart   *Chart
	object  *fyne.Container
	entry   *keys.Entry
	list    *fyne.Container
	count   *canvas.Text
	matches []scene.Match
	at      int            // -1: none yet
	from    fyne.Focusable // what had the keyboard before
}

// shownMatches is how many lines of matches are shown at once.
const shownMatches = 7

func newFinder(c *Chart) *finder {
	t := look.Now()
	f := &finder{chart: c, at: -1, list: container.NewVBox()}
	f.entry = keys.NewEntry(c.room.Keys)
	f.entry.Passing = true
	f.entry.SetPlaceHolder("reference, title, wire, net, zone, colour")
	f.entry.OnChanged = f.search
	f.entry.OnKey = f.key
	f.count = look.Line("", t.Soft, theme.SizeNameCaptionText, fyne.TextStyle{})
	ground := canvas.NewRectangle(t.Raised)
	ground.StrokeColor, ground.StrokeWidth, ground.CornerRadius = t.Accent, 1.5, 4
	f.object = container.NewStack(ground, look.Inset(6, container.NewVBox(f.entry, f.list, container.New(layout.NewCustomPaddedLayout(0, 0, 6, 6), f.count))))
	f.object.Hide()
	return f
}

func (f *finder) open() {
	if canvas := f.chart.room.Canvas; canvas != nil && canvas() != nil && !f.object.Visible() {
		f.from = canvas().Focused()
	}
	f.object.Show()
	f.search(f.entry.Text)
	f.chart.focus(f.entry)
	f.entry.TypedShortcut(&fyne.ShortcutSelectAll{})
}

func (f *finder) close() {
	f.object.Hide()
	f.chart.focus(f.chart.sheet)
	if f.from != nil {
		f.chart.focus(f.from)
	}
}

// key takes the keys by which one goes through the matches.
func (f *finder) key(name fyne.KeyName) bool {
	switch name {
	case fyne.KeyEscape:
		f.close()
	case fyne.KeyReturn, fyne.KeyEnter, fyne.KeyDown:
		f.goTo(f.at + 1)
	case fyne.KeyUp:
		f.goTo(f.at - 1)
	default:
		return false
	}
	return true
}

// goTo goes to a match, round and round.
func (f *finder) goTo(at int) {
	if len(f.matches) == 0 {
		return
	}
	f.at = (at + len(f.matches)) % len(f.matches)
	f.show()
	f.chart.found(f.matches[f.at].Selection)
}

func (f *finder) search(words string) {
	f.matches, f.at = nil, -1
	if f.chart.scene != nil {
		f.matches = f.chart.scene.Find(words)
	}
	f.show()
}

// show lists the first matches; once one of them is looked at only that one, so
// that the chart can be seen.
func (f *finder) show() {
	first, last := 0, min(shownMatches, len(f.matches))
	if f.at >= 0 {
		first, last = f.at, f.at+1
	}
	f.list.RemoveAll()
	for i := first; i < last; i++ {
		f.list.Add(newMatchLine(f.matches[i], i == f.at, func() { f.goTo(i) }))
	}
	switch {
	case f.entry.Text == "":
		f.count.Text = "Enter goes on to the next, Esc ends."
	case len(f.matches) == 0:
		f.count.Text = "Nothing on the chart is called that."
	case f.at < 0:
		f.count.Text = fmt.Sprintf("%d found. Enter goes to the first.", len(f.matches))
	default:
		f.count.Text = fmt.Sprintf("%d of %d. Enter goes on, Esc ends.", f.at+1, len(f.matches))
	}
	f.count.Refresh()
	f.object.Refresh()
	f.chart.over.Refresh()
}

// matchLine is one match that can be clicked.
type matchLine struct {
	widget.BaseWidget
	match  scene.Match
	chosen bool
	tap    func()
}

func newMatchLine(match scene.Match, chosen bool, tap func()) *matchLine {
	l := &matchLine{match: match, chosen: chosen, tap: tap}
	l.ExtendBaseWidget(l)
	return l
}

// Tapped goes to the match.
func (l *matchLine) Tapped(*fyne.PointEvent) { l.tap() }

// CreateRenderer draws the name in bold and beside it what tells it apart, cut
// to what there is room for.
func (l *matchLine) CreateRenderer() fyne.WidgetRenderer {
	t := look.Now()
	ground := canvas.NewRectangle(color.Transparent)
	ground.CornerRadius = 3
	if l.chosen {
		ground.FillColor = t.Chosen
	}
	size := float64(t.Size(theme.SizeNameText))
	name := look.Line(drawing.Fit(l.match.Text, size, drawing.Bold, matchName), t.Ink, theme.SizeNameText, fyne.TextStyle{Bold: true})
	small := float64(t.Size(theme.SizeNameCaptionText))
	more := look.Line(drawing.Fit(l.match.More, small, drawing.Regular, matchMore), t.Soft, theme.SizeNameCaptionText, fyne.TextStyle{})
	line := container.New(layout.NewCustomPaddedHBoxLayout(8), name, container.NewCenter(more))
	return widget.NewSimpleRenderer(container.NewStack(ground, container.New(layout.NewCustomPaddedLayout(1, 1, 6, 6), line)))
}

// Room for the two texts of a match, in units of the screen.
const (
	matchName = 130
	matchMore = 205
)
