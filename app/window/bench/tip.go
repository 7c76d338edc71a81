package bench

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"bellout/app/session"
	"bellout/app/window/look"
)

// tipWords name the tips.
var tipWords = [2]struct{ name, capital string }{session.Red: {"red", "RED"}, session.Black: {"black", "BLACK"}}

// probeTip is a test probe, drawn: a handle with its word on it and the needle.
// Red has a round handle with a ring, black a square one with two grooves, so
// that the two are told apart without their colours.
type probeTip struct {
	widget.BaseWidget
	handle, collar, needle, end *canvas.Rectangle
	marks                       [2]*canvas.Rectangle
	word                        *canvas.Text
	high                        float32
}

// tipColours are the ground, the edge and the word of a handle.
func tipColours(tip session.Tip) (ground, edge, word color.NRGBA) {
	t := look.Now()
	if tip == session.Red {
		return t.RedTip, t.RedTip, t.OnTint
	}
	if t.Dark {
		return t.Sunken, t.BlkTip, t.BlkTip
	}
	return t.BlkTip, t.BlkTip, t.OnTint
}

func newProbeTip(tip session.Tip, high float32) *probeTip {
	ground, edge, word := tipColours(tip)
	p := &probeTip{high: high, word: canvas.NewText(tipWords[tip].capital, word)}
	p.word.TextSize, p.word.TextStyle = float32(int(high*0.5)), fyne.TextStyle{Bold: true}
	p.handle, p.collar, p.needle, p.end = canvas.NewRectangle(ground), canvas.NewRectangle(ground), canvas.NewRectangle(edge), canvas.NewRectangle(edge)
	for _, part := range []*canvas.Rectangle{p.handle, p.collar} {
		part.StrokeColor, part.StrokeWidth = edge, 1.5
	}
	for i := range p.marks {
		p.marks[i] = canvas.NewRectangle(word)
	}
	p.handle.CornerRadius = 3
	if tip == session.Red {
		p.handle.CornerRadius = high / 2
		p.marks[1].Hide()
	}
	p.ExtendBaseWidget(p)
	return p
}

// probeWidth is how wide a probe is that has a height: both the same, so that
// what stands beside them is in line.
func probeWidth(high float32) float32 {
	return fyne.MeasureText(tipWords[session.Black].capital, float32(int(high*0.5)), fyne.TextStyle{Bold: true}).Width + high*2.1
}

// MinSize is the same for both tips.
func (p *probeTip) MinSize() fyne.Size { return fyne.NewSize(probeWidth(p.high), p.high) }

// CreateRenderer draws it.
func (p *probeTip) CreateRenderer() fyne.WidgetRenderer { return &probeTipRenderer{p} }

type probeTipRenderer struct{ tip *probeTip }

func (r *probeTipRenderer) Layout(size fyne.Size) {
	p, high := r.tip, r.tip.high
	y := (size.Height - high) / 2
	put := func(o fyne.CanvasObject, x, y, wide, high float32) {
		o.Move(fyne.NewPos(x, y))
		o.Resize(fyne.NewSize(wide, high))
	}
	handle := size.Width - high*1.05
	put(p.handle, 0, y, handle, high)
	put(p.collar, handle, y+high*0.22, high*0.34, high*0.56)
	put(p.needle, handle+high*0.34, y+high*0.42, high*0.5, high*0.16)
	put(p.end, handle+high*0.84, y+high*0.46, high*0.21, high*0.08)
	for i, mark := range p.marks {
		put(mark, handle-high*(0.42-0.2*float32(i)), y+high*0.2, max(high*0.06, 1.5), high*0.6)
	}
	word := p.word.MinSize()
	put(p.word, (handle-high*0.42-word.Width)/2+high*0.06, y+(high-word.Height)/2, word.Width, word.Height)
}

func (r *probeTipRenderer) MinSize() fyne.Size { return r.tip.MinSize() }

func (r *probeTipRenderer) Refresh() {
	for _, object := range r.Objects() {
		object.Refresh()
	}
}

func (r *probeTipRenderer) Objects() []fyne.CanvasObject {
	p := r.tip
	return []fyne.CanvasObject{p.end, p.needle, p.collar, p.handle, p.marks[0], p.marks[1], p.word}
}

func (r *probeTipRenderer) Destroy() {}

// tucked is how far the words move up into the empty foot of the large line, in
// parts of its size.
const tucked = 0.14

// tipRow says where one tip goes: the probe, the reference as large as it fits,
// and where that is on the machine.
type tipRow struct{ size sizes }

func (t *tipRow) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	probe, ref, where := objects[0], objects[1], objects[2]
	wide := probe.MinSize().Width
	left := wide + t.size.ref*0.25
	line := ref.MinSize().Height
	probe.Resize(fyne.NewSize(wide, line))
	probe.Move(fyne.NewPos(0, 0))
	ref.Resize(fyne.NewSize(size.Width-left, line))
	ref.Move(fyne.NewPos(left, 0))
	where.Resize(fyne.NewSize(size.Width-left, look.HeightAt(where, size.Width-left)))
	where.(*look.Paragraph).Hidden = where.(*look.Paragraph).Text() == ""
	where.Move(fyne.NewPos(left, line-t.size.ref*tucked))
}

func (t *tipRow) MinSize(objects []fyne.CanvasObject) fyne.Size {
	high := objects[1].MinSize().Height
	if objects[2].(*look.Paragraph).Text() != "" {
		high += objects[2].MinSize().Height - t.size.ref*tucked
	}
	return fyne.NewSize(120, high)
}
