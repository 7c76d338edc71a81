package bench

import (
	"image/color"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"
)

// prose is text that wraps between words, with no room round it: what the
// toolkit's label has too much of for a narrow column.
type prose struct {
	widget.BaseWidget
	text   string
	size   float32
	colour color.Color
	style  fyne.TextStyle
	lines  []*canvas.Text
	width  float32
}

func newProse(text string, size float32, colour color.Color, style fyne.TextStyle) *prose {
	p := &prose{text: text, size: size, colour: colour, style: style}
	p.ExtendBaseWidget(p)
	return p
}

// set changes the text; nothing is done if it is the same.
func (p *prose) set(text string, colour color.Color) {
	if p.text == text && p.colour == colour {
		return
	}
	p.text, p.colour, p.lines = text, colour, nil
	p.wrap(p.width)
	p.Refresh()
}

// Resize wraps the text anew where the width changed.
func (p *prose) Resize(size fyne.Size) {
	if size.Width != p.width || p.lines == nil {
		p.wrap(size.Width)
	}
	p.BaseWidget.Resize(size)
}

// MinSize is as high as the text is at the width that it was last given.
func (p *prose) MinSize() fyne.Size {
	if p.lines == nil {
		p.wrap(p.width)
	}
	return fyne.NewSize(20, float32(max(len(p.lines), 1))*p.lineHeight())
}

func (p *prose) lineHeight() float32 { return float32(int(p.size*1.28 + 0.5)) }

func (p *prose) wrap(width float32) {
	p.width = width
	p.lines = []*canvas.Text{}
	measure := func(text string) float32 { return fyne.MeasureText(text, p.size, p.style).Width }
	blank := measure("n n") - measure("nn")
	var line []string
	used := float32(0)
	end := func() {
		text := canvas.NewText(strings.Join(line, " "), p.colour)
		text.TextSize, text.TextStyle = p.size, p.style
		p.lines = append(p.lines, text)
		line, used = nil, 0
	}
	for _, word := range bound(p.text) {
		wide := measure(word)
		if len(line) > 0 && used+blank+wide > width && width > 0 {
			end()
		}
		if len(line) > 0 {
			used += blank
		}
		line, used = append(line, word), used+wide
	}
	if len(line) > 0 {
		end()
	}
}

// units stay on the line of their number.
var units = map[string]bool{"%": true, "ohm": true, "kohm": true, "Mohm": true, "V": true, "mV": true, "A": true, "bit": true}

// bound splits a text where a line may end.
func bound(text string) []string {
	words := strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' })
	var list []string
	for _, word := range words {
		if last := len(list) - 1; last >= 0 && units[strings.Trim(word, ".,;:)")] && strings.ContainsAny(list[last][len(list[last])-1:], "0123456789") {
			list[last] += " " + word
			continue
		}
		list = append(list, word)
	}
	return list
}

// CreateRenderer draws the lines.
func (p *prose) CreateRenderer() fyne.WidgetRenderer { return &proseRenderer{p} }

type proseRenderer struct{ prose *prose }

func (r *proseRenderer) Layout(fyne.Size) {
	height := r.prose.lineHeight()
	for i, line := range r.prose.lines {
		line.Move(fyne.NewPos(0, float32(i)*height))
		line.Resize(fyne.NewSize(r.prose.width, height))
	}
}

func (r *proseRenderer) MinSize() fyne.Size { return r.prose.MinSize() }

func (r *proseRenderer) Refresh() {
	r.Layout(r.prose.Size())
	for _, line := range r.prose.lines {
		line.Refresh()
	}
}

func (r *proseRenderer) Objects() []fyne.CanvasObject {
	objects := make([]fyne.CanvasObject, len(r.prose.lines))
	for i, line := range r.prose.lines {
		objects[i] = line
	}
	return objects
}

func (r *proseRenderer) Destroy() {}

// fitted is one line that shrinks until all of it is to be read: a reference is
// never cut.
type fitted struct {
	widget.BaseWidget
	line *canvas.Text
	size float32
}

func newFitted(text string, size float32, colour color.Color, style fyne.TextStyle) *fitted {
	f := &fitted{line: canvas.NewText(text, colour), size: size}
	f.line.TextSize, f.line.TextStyle = size, style
	f.ExtendBaseWidget(f)
	return f
}

// MinSize asks for the height of the full size, so that nothing moves when a
// long text shrinks.
func (f *fitted) MinSize() fyne.Size {
	return fyne.NewSize(20, fyne.MeasureText(f.line.Text, f.size, f.line.TextStyle).Height)
}

// CreateRenderer draws the line.
func (f *fitted) CreateRenderer() fyne.WidgetRenderer { return &fittedRenderer{f} }

type fittedRenderer struct{ fitted *fitted }

func (r *fittedRenderer) Layout(size fyne.Size) {
	f := r.fitted
	wide := fyne.MeasureText(f.line.Text, f.size, f.line.TextStyle)
	fits := f.size
	if wide.Width > size.Width && size.Width > 0 {
		fits = float32(int(f.size * size.Width / wide.Width))
		for fits > 6 && fyne.MeasureText(f.line.Text, fits, f.line.TextStyle).Width > size.Width {
			fits--
		}
	}
	f.line.TextSize = fits
	height := f.line.MinSize().Height
	f.line.Resize(fyne.NewSize(size.Width, height))
	f.line.Move(fyne.NewPos(0, (size.Height-height)/2))
	f.line.Refresh()
}

func (r *fittedRenderer) MinSize() fyne.Size           { return r.fitted.MinSize() }
func (r *fittedRenderer) Refresh()                     { r.Layout(r.fitted.Size()) }
func (r *fittedRenderer) Objects() []fyne.CanvasObject { return []fyne.CanvasObject{r.fitted.line} }
func (r *fittedRenderer) Destroy()                     {}
