package sheets

import (
	"fmt"
	"image"
	"image/color"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"bellout/app/drawing"
	"bellout/app/drawing/screen"
	"bellout/app/window/keys"
	"bellout/app/window/look"
)

// preview shows one page as it will be on paper. Links on it lead to their pages.
type preview struct {
	widget.BaseWidget
	place  *Place
	raster *canvas.Raster
	foot   fyne.CanvasObject
	count  *canvas.Text
	words  *canvas.Text
	buffer screen.Buffer
	page   int     // from 1
	zoom   float64 // 1: the whole page is seen
	x, y   float64 // of the middle of what is seen, in parts of the page
	links  []link
	view   viewed
}

type link struct {
	box    drawing.Box
	anchor string
}

// viewed is how the page lay when it was drawn last, in the window's units.
type viewed struct{ scale, x, y float64 }

func newPreview(p *Place) *preview {
	v := &preview{place: p, page: 1, zoom: 1, x: 0.5, y: 0.5, count: look.Caption(""), words: look.Caption("")}
	v.raster = canvas.NewRaster(v.draw)
	row := container.New(&look.Flow{Gap: 4},
		container.NewCenter(v.count), look.KeyCap("Page Up"), look.KeyCap("Page Down"),
		container.NewCenter(look.Caption("zoom")), look.KeyCap("+"), look.KeyCap("-"), look.KeyCap("0"), container.NewCenter(v.words))
	v.foot = look.Inset(6, row)
	v.ExtendBaseWidget(v)
	return v
}

// CreateRenderer shows the picture.
func (v *preview) CreateRenderer() fyne.WidgetRenderer { return widget.NewSimpleRenderer(v.raster) }

// MinSize is small: what there is no room for is not seen.
func (v *preview) MinSize() fyne.Size { return fyne.NewSize(120, 120) }

// show shows the sheet that was made; the page stays where it is the same sheet.
func (v *preview) show() {
	v.page = min(max(v.page, 1), max(v.pages(), 1))
	v.redraw()
}

func (v *preview) wait() {
	if v.place.made.name != v.place.shown {
		v.page, v.zoom, v.x, v.y = 1, 1, 0.5, 0.5
		v.place.made = made{}
	}
	v.tell("Drawing ...")
	v.redraw()
}

func (v *preview) fail(err error) {
	v.redraw()
	v.tell(err.Error())
}

func (v *preview) pages() int {
	if v.place.made.pages == nil {
		return 0
	}
	return v.place.made.pages.Pages()
}

func (v *preview) redraw() {
	v.count.Text = ""
	if of := v.pages(); of > 0 {
		v.count.Text = fmt.Sprintf("page %d of %d", v.page, of)
		v.words.Text = ""
		if v.zoom > 1 {
			v.words.Text = fmt.Sprintf("%.0f %% of the whole page; arrows, or pull", 100*v.zoom)
		}
	}
	v.count.Refresh()
	v.words.Refresh()
	v.raster.Refresh()
}

func (v *preview) tell(text string) {
	v.words.Text = text
	v.words.Refresh()
}

// edge is the room round a page, in the window's units.
const edge = 14

// draw is the picture's generator; width and height are pixels.
func (v *preview) draw(width, height int) image.Image {
	ground := look.Now().Sunken
	v.links = v.links[:0]
	if v.pages() == 0 || v.Size().Width < 1 {
		v.buffer.Begin(max(width, 1), max(height, 1), ground, 1, 0, 0)
		return v.buffer.Image()
	}
	pixels := float64(width) / float64(v.Size().Width)
	w, h := v.place.made.pages.Size(v.page)
	scale, x, y := v.lie(w, h)
	v.view = viewed{scale, x, y}
	v.buffer.Begin(width, height, ground, scale*pixels, x*pixels, y*pixels)
	v.buffer.Rectangle(drawing.Box{Max: drawing.Point{X: w, Y: h}}, 0, drawing.Stroke{Colour: color.NRGBA{A: 110}, Width: 0.25}, color.NRGBA{R: 255, G: 255, B: 255, A: 255})
	v.place.made.pages.Draw(v.page, &linkPen{Buffer: &v.buffer, links: &v.links})
	return v.buffer.Image()
}

// lie returns how a page lies: units a millimetre, and where its corner is.
func (v *preview) lie(w, h float64) (scale, x, y float64) {
	width, height := float64(v.Size().Width), float64(v.Size().Height)
	scale = max(min((width-2*edge)/w, (height-2*edge)/h), 0.05) * v.zoom
	place := func(room, size, at float64) float64 {
		if size <= room {
			return (room - size) / 2
		}
		return min(max(room/2-at*size, room-size-edge), edge)
	}
	return scale, place(width, w*scale, v.x), place(height, h*scale, v.y)
}

// linkPen draws, and keeps where links are.
type linkPen struct {
	*screen.Buffer
	links *[]link
}

// Link keeps it.
func (p *linkPen) Link(box drawing.Box, anchor string) {
	*p.links = append(*p.links, link{box, anchor})
}

// anchorPen draws nothing and waits for an anchor.
type anchorPen struct {
	screen.Buffer
	name  string
	found bool
}

func (p *anchorPen) Line([]drawing.Point, drawing.Stroke)                        {}
func (p *anchorPen) Polygon([]drawing.Point, drawing.Stroke, color.NRGBA)        {}
func (p *anchorPen) Rectangle(drawing.Box, float64, drawing.Stroke, color.NRGBA) {}
func (p *anchorPen) Circle(drawing.Point, float64, drawing.Stroke, color.NRGBA)  {}
func (p *anchorPen) Text(drawing.Text)                                           {}
func (p *anchorPen) Picture(image.Image, drawing.Box)                            {}
func (p *anchorPen) Anchor(_ drawing.Point, name, _ string)                      { p.found = p.found || name == p.name }

// follow goes to the page that holds an anchor.
func (v *preview) follow(anchor string) {
	for page := 1; page <= v.pages(); page++ {
		pen := &anchorPen{name: anchor}
		if v.place.made.pages.Draw(page, pen); pen.found {
			v.goTo(page)
			return
		}
	}
}

func (v *preview) goTo(page int) {
	v.page = min(max(page, 1), max(v.pages(), 1))
	v.y = 0
	v.redraw()
}

func (v *preview) zoomBy(factor float64) {
	v.zoom = min(max(v.zoom*factor, 1), 12)
	if v.zoom == 1 {
		v.x, v.y = 0.5, 0.5
	}
	v.redraw()
}

// at is the link under a point of the window; empty if none.
func (v *preview) at(pos fyne.Position) string {
	if v.view.scale == 0 {
		return ""
	}
	x, y := (float64(pos.X)-v.view.x)/v.view.scale, (float64(pos.Y)-v.view.y)/v.view.scale
	at := slices.IndexFunc(v.links, func(l link) bool {
		return x >= l.box.Min.X && x <= l.box.Max.X && y >= l.box.Min.Y && y <= l.box.Max.Y
	})
	if at < 0 {
		return ""
	}
	return v.links[at].anchor
}

// Tapped follows a link, or takes the keyboard.
func (v *preview) Tapped(event *fyne.PointEvent) {
	v.place.focusOn(v.place.list)
	if anchor := v.at(event.Position); anchor != "" {
		v.follow(anchor)
	}
}

// Cursor shows where a link is.
func (v *preview) Cursor() desktop.Cursor { return desktop.DefaultCursor }

// Scrolled zooms with Ctrl; else it goes along the page, and over its ends to the
// next.
func (v *preview) Scrolled(event *fyne.ScrollEvent) {
	if driver, ok := fyne.CurrentApp().Driver().(desktop.Driver); ok && driver.CurrentKeyModifiers()&fyne.KeyModifierShortcutDefault != 0 {
		v.zoomBy(map[bool]float64{true: 1.15, false: 1 / 1.15}[event.Scrolled.DY > 0])
		return
	}
	if v.zoom == 1 {
		v.goTo(v.page + map[bool]int{true: -1, false: 1}[event.Scrolled.DY > 0])
		return
	}
	v.shift(0, -float64(event.Scrolled.DY)/float64(max(v.Size().Height, 1))/v.zoom)
}

// Dragged pulls the page.
func (v *preview) Dragged(event *fyne.DragEvent) {
	v.shift(-float64(event.Dragged.DX)/float64(max(v.Size().Width, 1))/v.zoom, -float64(event.Dragged.DY)/float64(max(v.Size().Height, 1))/v.zoom)
}

// DragEnd ends it.
func (v *preview) DragEnd() {}

func (v *preview) shift(x, y float64) {
	v.x, v.y = min(max(v.x+x, 0), 1), min(max(v.y+y, 0), 1)
	v.redraw()
}

// TypedRune zooms.
func (v *preview) TypedRune(r rune) {
	switch r {
	case '+', '=':
		v.zoomBy(1.25)
	case '-':
		v.zoomBy(1 / 1.25)
	case '0':
		v.zoomBy(0)
	}
}

// TypedKey goes through the pages and along one.
func (v *preview) TypedKey(event *fyne.KeyEvent) {
	switch event.Name {
	case fyne.KeyPageDown, fyne.KeySpace:
		v.goTo(v.page + 1)
	case fyne.KeyPageUp:
		v.goTo(v.page - 1)
	case fyne.KeyHome:
		v.goTo(1)
	case fyne.KeyEnd:
		v.goTo(v.pages())
	case fyne.KeyLeft:
		v.shift(-0.1/v.zoom, 0)
	case fyne.KeyRight:
		v.shift(0.1/v.zoom, 0)
	default:
		v.place.room.Keys.Press(keys.Plain(event.Name))
	}
}
