package bench

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"bellout/app/session"
	"bellout/app/window/look"
	"bellout/faults"
)

// proven is a bar that says how much of the map readings prove.
type proven struct {
	widget.BaseWidget
	size         sizes
	all, done    *canvas.Rectangle
	wires, apart *canvas.Text
	share        float32
}

func newProven(size sizes) *proven {
	t := look.Now()
	p := &proven{size: size, all: canvas.NewRectangle(t.Sunken), done: canvas.NewRectangle(t.Good), wires: canvas.NewText("", t.Ink), apart: canvas.NewText("", t.Soft)}
	p.all.StrokeColor, p.all.StrokeWidth = t.Line, 1
	p.wires.TextSize, p.apart.TextSize = size.small, size.small
	p.wires.TextStyle = fyne.TextStyle{Bold: true}
	p.ExtendBaseWidget(p)
	return p
}

func (p *proven) show(d *session.Session) { p.set(d.View().Report.Proven) }

func (p *proven) set(of faults.Proven) {
	p.share = 0
	if of.OfWires > 0 {
		p.share = float32(of.Wires) / float32(of.OfWires)
	}
	p.wires.Text = count(of.Wires, of.OfWires, "wires proven")
	p.apart.Text = count(of.Separations, of.OfSeparations, "rail pairs proven separate")
	p.Refresh()
}

// CreateRenderer draws it.
func (p *proven) CreateRenderer() fyne.WidgetRenderer { return &provenRenderer{p} }

type provenRenderer struct{ proven *proven }

const barHigh = 7

func (r *provenRenderer) MinSize() fyne.Size {
	return fyne.NewSize(100, r.proven.wires.MinSize().Height+barHigh+3)
}

func (r *provenRenderer) Layout(size fyne.Size) {
	p := r.proven
	p.all.Resize(fyne.NewSize(size.Width, barHigh))
	p.done.Resize(fyne.NewSize(size.Width*p.share, barHigh))
	p.wires.Move(fyne.NewPos(0, barHigh+2))
	p.wires.Resize(p.wires.MinSize())
	apart := p.apart.MinSize()
	p.apart.Move(fyne.NewPos(size.Width-apart.Width, barHigh+2))
	p.apart.Resize(apart)
	p.apart.Hidden = p.wires.MinSize().Width+apart.Width+10 > size.Width
}

func (r *provenRenderer) Refresh() {
	r.Layout(r.proven.Size())
	for _, object := range r.Objects() {
		object.Refresh()
	}
}

func (r *provenRenderer) Objects() []fyne.CanvasObject {
	p := r.proven
	return []fyne.CanvasObject{p.all, p.done, p.wires, p.apart}
}

func (r *provenRenderer) Destroy() {}

func count(done, of int, what string) string { return fmt.Sprintf("%d of %d %s", done, of, what) }
