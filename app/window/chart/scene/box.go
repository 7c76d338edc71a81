package scene

import (
	"image/color"

	"bellout/app/drawing"
	"bellout/graphs/layout"
	"bellout/model"
)

// many is from how many boxes on the screen on they are drawn with square
// corners and terminals, which takes a tenth of the time.
const many = 250

// crowdedBoxes is from how many on terminals are left out.
const crowdedBoxes = 800

func (d *drawer) allBoxes() {
	for i := range d.boxes {
		b := &d.boxes[i]
		if !b.here || !touch(b.outline, d.seen) {
			continue
		}
		d.box(i, b, !d.crowding.many)
	}
}

func (d *drawer) box(i int, b *box, round bool) {
	lit := d.Lit.box(i)
	ground := d.Palette.Box
	if !lit {
		ground = mixed(ground, d.Palette.Ground, 0.5)
	}
	outline := d.stroke(d.back(d.Palette.Ink, lit), 1)
	radius := 0.0
	if round && d.Scale > 0.5 {
		radius = 3
	}
	switch b.Shape {
	case layout.Source:
		outline.Width = d.px(2)
	case layout.Inline:
		radius, outline.Colour = 0, d.back(mixed(d.Palette.Soft, d.Palette.Box, 0.45), lit)
	case layout.Strip, layout.Plug:
		radius = 0
	}
	failed := b.health == model.HealthFailed
	if failed {
		d.hatch(b, lit)
		outline = d.stroke(d.back(d.Palette.Bad, lit), 2)
		radius = 0
	}
	d.pen.Rectangle(b.body, radius, outline, ground)
	if d.detail.symbols && d.detail.reference {
		d.symbol(b, lit)
	}
	if d.detail.symbols {
		d.rails(i, lit)
	}
	if failed {
		d.failedCross(b, lit)
	}
	d.labels(i, b, lit)
	if d.detail.ports && !d.crowding.boxCrowd {
		d.allPorts(i, b, lit, round)
	}
	if failed && d.detail.reference {
		d.failedWord(b, lit)
	} else if b.health == model.HealthUnknown && d.detail.reference {
		d.unknown(b, lit)
	}
}

// labels writes reference, title and marks; from afar the reference alone, as
// large as the box allows.
func (d *drawer) labels(i int, b *box, lit bool) {
	if !d.detail.reference {
		d.reference(b, lit)
	} else {
		for _, at := range b.Header {
			if at < 0 || at >= len(d.Plan.Labels) {
				continue
			}
			label := &d.Plan.Labels[at]
			if label.Kind == layout.Reference {
				d.text(label, d.Palette.Ink, lit)
			} else if d.detail.title {
				d.text(label, d.Palette.Soft, lit)
			}
		}
	}
	if !d.detail.mark || d.Lit.On() && !lit {
		return
	}
	for j := range b.Ports {
		at := b.Ports[j].Label
		if !b.ports[j].here || at < 0 || at >= len(d.Plan.Labels) {
			continue
		}
		c := d.Palette.Soft
		if d.Lit.port(d.base[i] + j) {
			c = d.Palette.Ink
		}
		d.text(&d.Plan.Labels[at], c, lit)
	}
}

// reference writes the reference alone into a box seen from afar.
func (d *drawer) reference(b *box, lit bool) {
	width, height := (b.body.Max.X-b.body.Min.X)*d.Scale, (b.outline.Max.Y-b.outline.Min.Y)*d.Scale
	for _, size := range []float64{12, 10.5, 9, 8} {
		if b.width*size+2 > width || size > height {
			continue
		}
		at := middle(b.body)
		if size+1 > (b.body.Max.Y-b.body.Min.Y)*d.Scale { // higher than the body: it stands on its lower edge
			at.Y = b.body.Max.Y - d.px(size/2)
		}
		if b.health == model.HealthFailed { // on a plate, since there is a cross behind it
			half := drawing.Point{X: d.px(b.width*size/2 + 2), Y: d.px(size/2 + 0.5)}
			d.pen.Rectangle(drawing.Box{Min: drawing.Point{X: at.X - half.X, Y: at.Y - half.Y}, Max: drawing.Point{X: at.X + half.X, Y: at.Y + half.Y}}, 0, none, d.Palette.Box)
		}
		d.pen.Text(drawing.Text{
			At: drawing.Point{X: at.X, Y: at.Y + d.px(size*drawing.CapHeight()/2)}, Text: b.Device,
			Size: d.px(size), Face: drawing.Bold, Align: drawing.Centre, Colour: d.back(d.Palette.Ink, lit),
		})
		return
	}
}

// allPorts draws the terminals: filled where a wire ends, hollow where none does.
func (d *drawer) allPorts(i int, b *box, lit, round bool) {
	ink := d.back(d.Palette.Ink, lit)
	half := max(2.5, d.px(1.5))
	if d.Scale < 0.6 {
		half = d.px(1.5)
	}
	for j := range b.ports {
		p := &b.ports[j]
		if !p.here {
			continue
		}
		fill := func(wired bool) color.NRGBA {
			if wired {
				return ink
			}
			return d.Palette.Box
		}
		d.port(p.at, half, fill(p.wired), ink, round)
		if b.Ports[j].Through {
			d.port(p.far, half, fill(p.beyond), ink, round)
		}
		if d.Lit.port(d.base[i]+j) && d.detail.mark {
			d.pen.Rectangle(square(p.at, half+d.px(2)), 0, d.stroke(d.Palette.Accent, 1.5), noFill)
		}
		if p.blamed {
			d.cross(p.at, max(6, d.px(5)), d.back(d.Palette.Bad, lit))
		}
	}
}

func (d *drawer) port(at drawing.Point, half float64, fill, ink color.NRGBA, round bool) {
	if !within(d.seen, at) {
		return
	}
	if round && d.Scale > 0.9 {
		d.pen.Circle(at, half, d.stroke(ink, 1), fill)
		return
	}
	d.pen.Rectangle(square(at, half), 0, d.stroke(ink, 1), fill)
}

// rails draws the bars of a box, thick, with the name of the net along them where
// there is room.
func (d *drawer) rails(i int, lit bool) {
	b := &d.boxes[i]
	for _, at := range b.rails {
		rail := &d.Plan.Rails[at]
		ink := d.back(d.Palette.Ink, lit)
		from, to := drawing.Point(rail.From), drawing.Point(rail.To)
		d.pen.Line([]drawing.Point{from, to}, drawing.Stroke{Colour: ink, Width: max(4, d.px(2))})
		if !d.detail.mark || len(rail.Ports) == 0 || b.ports[rail.Ports[0]].net < 0 {
			continue
		}
		const size, aside = 9.0, 5.0
		name := d.nets.List[b.ports[rail.Ports[0]].net].Name
		room := b.body.Max.X
		for _, port := range rail.Ports {
			if label := b.Ports[port].Label; label >= 0 && label < len(d.Plan.Labels) && d.Plan.Labels[label].Min.X > from.X {
				room = min(room, d.Plan.Labels[label].Min.X)
			}
		}
		if room-from.X < size+aside || to.Y-from.Y < drawing.Measure(name, size, drawing.Bold)+2 {
			continue
		}
		d.pen.Text(drawing.Text{
			At: drawing.Point{X: from.X + aside + size*drawing.CapHeight(), Y: (from.Y + to.Y) / 2}, Text: name, Size: size,
			Face: drawing.Bold, Align: drawing.Centre, Upward: true, Colour: ink,
		})
	}
}
