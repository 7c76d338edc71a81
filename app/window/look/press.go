package look

import (
	"image/color"
	"sort"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// Press is a button with its key beside its words. It takes no focus: whoever
// works from the keyboard presses the key.
type Press struct {
	widget.BaseWidget
	Text    string
	Key     string  // as its cap shows it; empty if it has none
	Primary bool    // the one that is meant to be pressed next
	Chosen  bool    // of several, the one that holds
	Off     bool    // cannot be pressed now
	Cut     bool    // where there is no room for all of its words, they are cut
	Type    float32 // the size of its words; 0 is the usual one
	OnTap   func()
	hovered bool
	focused bool
}

// NewPress returns a button.
func NewPress(text, key string, tap func()) *Press {
	p := &Press{Text: text, Key: key, OnTap: tap}
	p.ExtendBaseWidget(p)
	return p
}

// Tapped does what the button is for.
func (p *Press) Tapped(*fyne.PointEvent) {
	if !p.Off && p.OnTap != nil {
		p.OnTap()
	}
}

// MouseIn shows that the button can be pressed.
func (p *Press) MouseIn(*desktop.MouseEvent) { p.hover(true) }

// MouseMoved does nothing more.
func (p *Press) MouseMoved(*desktop.MouseEvent) {}

// MouseOut ends it.
func (p *Press) MouseOut() { p.hover(false) }

// SetFocused shows, or no longer shows, that Enter would press it.
func (p *Press) SetFocused(on bool) {
	if p.focused != on {
		p.focused = on
		p.Refresh()
	}
}

func (p *Press) hover(on bool) {
	if p.hovered != on {
		p.hovered = on
		p.Refresh()
	}
}

// CreateRenderer draws it.
func (p *Press) CreateRenderer() fyne.WidgetRenderer {
	r := &pressRenderer{press: p, ground: canvas.NewRectangle(color.Transparent), cap: canvas.NewRectangle(color.Transparent), text: canvas.NewText("", nil), key: canvas.NewText("", nil)}
	r.Refresh()
	return r
}

type pressRenderer struct {
	press       *Press
	ground, cap *canvas.Rectangle
	text, key   *canvas.Text
}

const (
	pressAside = 10 // room left and right of the words
	pressAbove = 5
	capAside   = 5
)

func (r *pressRenderer) MinSize() fyne.Size {
	size := fyne.MeasureText(r.press.Text, r.text.TextSize, r.text.TextStyle).Add(fyne.NewSize(2*pressAside, 2*pressAbove))
	if r.press.Cut {
		size.Width = min(size.Width, 60)
	}
	if r.press.Key != "" {
		size.Width += r.key.MinSize().Width + 2*capAside + 7
	}
	return size
}

func (r *pressRenderer) Layout(size fyne.Size) {
	r.ground.Resize(size)
	r.text.Text = r.press.Text
	if r.press.Cut {
		r.text.Text = Cut(r.press.Text, size.Width-2*pressAside, r.text.TextSize, r.text.TextStyle)
	}
	text := r.text.MinSize()
	r.text.Resize(text)
	left := float32(pressAside)
	if r.press.Key == "" && !r.press.Cut {
		left = (size.Width - text.Width) / 2
	}
	r.text.Move(fyne.NewPos(left, (size.Height-text.Height)/2))
	key := r.key.MinSize()
	r.cap.Resize(fyne.NewSize(key.Width+2*capAside, key.Height+2))
	r.cap.Move(fyne.NewPos(size.Width-key.Width-2*capAside-6, (size.Height-key.Height-2)/2))
	r.key.Resize(key)
	r.key.Move(r.cap.Position().Add(fyne.NewPos(capAside, 1)))
}

// Cut shortens a text until it fits, and shows that something is missing.
func Cut(text string, width, size float32, style fyne.TextStyle) string {
	if width <= 0 || fyne.MeasureText(text, size, style).Width <= width {
		return text
	}
	letters := []rune(text)
	fits := func(count int) bool {
		return fyne.MeasureText(string(letters[:count])+"\u2026", size, style).Width <= width
	}
	kept := sort.Search(len(letters), func(count int) bool { return count > 0 && !fits(count) }) - 1
	return string(letters[:max(kept, 0)]) + "\u2026"
}

func (r *pressRenderer) Refresh() {
	t, p := Now(), r.press
	ink, ground, line := t.Ink, t.Raised, t.Line
	switch {
	case p.Off:
		ink, ground = t.Soft, t.Ground
	case p.Primary:
		ink, ground, line = t.OnTint, t.Accent, t.Accent
	case p.Chosen:
		ink, ground, line = t.Accent, t.Chosen, t.Accent
	}
	r.ground.FillColor, r.ground.StrokeColor, r.ground.StrokeWidth, r.ground.CornerRadius = ground, line, 1, 3
	if (p.hovered || p.focused) && !p.Off {
		r.ground.StrokeColor, r.ground.StrokeWidth = t.Accent, 2
		if p.Primary {
			r.ground.StrokeColor = t.Ink
		}
	}
	size := p.Type
	if size == 0 {
		size = t.Size(theme.SizeNameText)
	}
	r.text.Text, r.text.Color, r.text.TextSize = p.Text, ink, size
	r.text.TextStyle = fyne.TextStyle{Bold: p.Primary || p.Chosen}
	r.key.Text, r.key.TextSize = p.Key, size*t.Size(theme.SizeNameCaptionText)/t.Size(theme.SizeNameText)
	r.key.Color, r.cap.FillColor, r.cap.StrokeColor, r.cap.StrokeWidth, r.cap.CornerRadius = t.Soft, t.Sunken, t.Line, 1, 3
	if p.Primary && !p.Off {
		r.key.Color, r.cap.FillColor, r.cap.StrokeColor = t.OnTint, t.Accent, t.OnTint
	}
	r.key.Hidden, r.cap.Hidden = p.Key == "", p.Key == ""
	for _, object := range r.Objects() {
		object.Refresh()
	}
	r.Layout(p.Size())
}

func (r *pressRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.ground, r.text, r.cap, r.key}
}

func (r *pressRenderer) Destroy() {}
