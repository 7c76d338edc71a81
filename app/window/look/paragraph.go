package look

import (
	"image/color"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// Paragraph is text that wraps between words, with no room round it: what the
// toolkit's label has too much of for a narrow column.
type Paragraph struct {
	widget.BaseWidget
	text   string
	size   float32
	colour color.Color
	style  fyne.TextStyle
	lines  []*canvas.Text
	width  float32
}

// NewParagraph returns text in a size and colour.
func NewParagraph(text string, size float32, colour color.Color, style fyne.TextStyle) *Paragraph {
	p := &Paragraph{text: text, size: size, colour: colour, style: style}
	p.ExtendBaseWidget(p)
	return p
}

// Set changes the text; nothing is done if it is the same.
func (p *Paragraph) Set(text string, colour color.Color) { p.SetIn(text, p.size, colour) }

// SetIn changes the text and the size of its type.
func (p *Paragraph) SetIn(text string, size float32, colour color.Color) {
	if p.text == text && p.colour == colour && p.size == size {
		return
	}
	p.text, p.size, p.colour, p.lines = text, size, colour, nil
	p.wrap(p.width)
	p.Refresh()
}

// Text returns what it says.
func (p *Paragraph) Text() string { return p.text }

// TypeSize returns the size of its type.
func (p *Paragraph) TypeSize() float32 { return p.size }

// Resize wraps the text anew where the width changed.
func (p *Paragraph) Resize(size fyne.Size) {
	if size.Width != p.width || p.lines == nil {
		p.wrap(size.Width)
	}
	p.BaseWidget.Resize(size)
}

// MinSize is as high as the text is at the width that it was last given.
func (p *Paragraph) MinSize() fyne.Size {
	if p.lines == nil {
		p.wrap(p.width)
	}
	return fyne.NewSize(20, float32(max(len(p.lines), 1))*p.lineHeight())
}

func (p *Paragraph) lineHeight() float32 { return float32(int(p.size*1.28 + 0.5)) }

func (p *Paragraph) wrap(width float32) {
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
func (p *Paragraph) CreateRenderer() fyne.WidgetRenderer { return &paragraphRenderer{p} }

type paragraphRenderer struct{ paragraph *Paragraph }

func (r *paragraphRenderer) Layout(fyne.Size) {
	height := r.paragraph.lineHeight()
	for i, line := range r.paragraph.lines {
		line.Move(fyne.NewPos(0, float32(i)*height))
		line.Resize(fyne.NewSize(r.paragraph.width, height))
	}
}

func (r *paragraphRenderer) MinSize() fyne.Size { return r.paragraph.MinSize() }

func (r *paragraphRenderer) Refresh() {
	r.Layout(r.paragraph.Size())
	for _, line := range r.paragraph.lines {
		line.Refresh()
	}
}

func (r *paragraphRenderer) Objects() []fyne.CanvasObject {
	objects := make([]fyne.CanvasObject, len(r.paragraph.lines))
	for i, line := range r.paragraph.lines {
		objects[i] = line
	}
	return objects
}

func (r *paragraphRenderer) Destroy() {}

// Prose is a paragraph in the usual size and ink.
func Prose(text string) *Paragraph {
	return NewParagraph(text, Now().Size(theme.SizeNameText), Now().Ink, fyne.TextStyle{})
}

// SoftProse is a paragraph for what is read second.
func SoftProse(text string) *Paragraph {
	return NewParagraph(text, Now().Size(theme.SizeNameText), Now().Soft, fyne.TextStyle{})
}

// BadProse is a paragraph that says what went wrong.
func BadProse(text string) *Paragraph {
	return NewParagraph(text, Now().Size(theme.SizeNameText), Now().Bad, fyne.TextStyle{})
}
