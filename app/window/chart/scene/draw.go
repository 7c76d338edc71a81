package scene

import (
	"image/color"

	"bellout/app/drawing"
	"bellout/app/session"
	"bellout/graphs/layout"
	"bellout/model"
)

// Frame is one look at the scene. Lengths are in units of the screen.
type Frame struct {
	Camera
	Width, Height float64
	Palette       *Palette
	Lit           *Lit
	Selected      session.Selection
	Tips          [2]model.TerminalRef // red, black
	Proposed      [2]model.TerminalRef // where they should go next
	Gone          []session.Gone       // wires of another state, which are not there any more
	Legend        bool
	Overview      bool
	// Hasty says that another frame follows at once, as while the wheel turns: what
	// takes long to draw may be a coarse picture of what there was.
	Hasty bool

	seen   drawing.Box
	detail detail
	dash   []float64
	dots3  []float64 // for one of very many wires
	hatch6 float64   // how far apart they come again
}

// detail says what is drawn at a scale: less, the further away one is.
type detail struct {
	reference, title, mark, name bool
	hops, ports, symbols         bool
	fine                         bool // edges, bands and dashes of wires
}

// The least height of type, in units of the screen, at which a label is drawn.
// Names of wires go first, references last.
const (
	leastName      = 6.3
	leastMark      = 6.0
	leastTitle     = 6.5
	leastReference = 6.5
)

func (f *Frame) look(s *Scene) {
	f.seen = grown(f.Seen(f.Width, f.Height), 8/f.Scale)
	f.detail = detail{
		reference: 12*f.Scale >= leastReference, title: 10*f.Scale >= leastTitle, mark: 10*f.Scale >= leastMark,
		name: 9*f.Scale >= leastName,
		hops: f.Scale >= 0.45, ports: f.Scale >= 0.3, symbols: f.Scale >= 0.3, fine: true,
	}
	f.dash = []float64{max(6/f.Scale, 3), max(4/f.Scale, 2)}
	f.dots3, f.hatch6 = []float64{3 / f.Scale, 3 / f.Scale}, 6/f.Scale
}

// px is a length on the screen in units of the chart.
func (f *Frame) px(n float64) float64 { return n / f.Scale }

// Draw draws one frame over a ground that is there already. The pen's unit is
// the chart's. Cost: linear in what is seen, and a comparison for everything
// else. See Moving for one frame after another.
func (s *Scene) Draw(pen drawing.Pen, f *Frame) {
	f.look(s)
	d := &drawer{Scene: s, Frame: f, pen: pen, scratch: &s.scratch, crowding: s.crowdingOf(f)}
	d.under()
	d.over()
}

// under draws what moves with the chart and depends on nothing but the place
// where it stands, the level and what stands out.
func (d *drawer) under() {
	d.zones(false)
	d.allWires()
	d.dots()
	d.allBoxes()
	d.zones(true)
	d.names()
}

// over draws what lies on it: what seeks a place of its own in what is seen, or
// keeps its place on the screen.
func (d *drawer) over() {
	d.flags()
	d.pathLetters()
	d.gone()
	d.netTags()
	d.chosen()
	d.tips()
	if d.Legend {
		d.legend()
	}
	if d.Overview {
		d.overview()
	}
}

// drawer is a scene and a frame on one pen.
type drawer struct {
	*Scene
	*Frame
	pen      drawing.Pen
	scratch  *scratch
	crowding crowding
	plates   []drawing.Box // that stand on wires already
}

// scratch is memory that one drawer at a time uses again.
type scratch struct {
	order [Statuses][]int32 // wires that are seen, by status
	front []int             // and those of them that stand out
	ink   inks
	run   [2]drawing.Point
}

// crowding says how finely things are drawn for how many of them are on the screen.
type crowding struct {
	crowd, throng  bool // of wires
	fineFront      bool // of those that stand out
	many, boxCrowd bool // of boxes
}

// crowdingOf counts what is seen.
func (s *Scene) crowdingOf(f *Frame) crowding {
	wires, front, boxes := 0, 0, 0
	for i := range s.extents {
		switch {
		case !touch(s.extents[i], f.seen):
		case f.Lit.wire(i) == 0:
			wires++
		default:
			front++
		}
	}
	for i := range s.boxes {
		if s.boxes[i].here && touch(s.boxes[i].outline, f.seen) {
			boxes++
		}
	}
	return crowding{
		crowd: wires > crowd || f.Scale < farOff, throng: wires > throng || f.Scale < farOff, fineFront: front <= crowd && f.Scale >= farOff,
		many: boxes >= many, boxCrowd: boxes >= crowdedBoxes,
	}
}

// fade is how far towards the ground steps back what does not stand out.
const fade = 0.78

// back is a colour as it is drawn on something that stands out or steps back.
func (d *drawer) back(c color.NRGBA, lit bool) color.NRGBA {
	if lit {
		return c
	}
	return mixed(c, d.Palette.Ground, fade)
}

var none drawing.Stroke

// noFill draws nothing.
var noFill color.NRGBA

func (d *drawer) stroke(c color.NRGBA, pixels float64) drawing.Stroke {
	return drawing.Stroke{Colour: c, Width: d.px(pixels)}
}

// zones draws the areas of the machine as quiet frames, and over all that lies in
// them their names.
func (d *drawer) zones(names bool) {
	for i := range d.Plan.Zones {
		z := &d.Plan.Zones[i]
		area := boxOf(z.Rect)
		if !touch(grown(area, 24/d.Scale), d.seen) { // its name stands outside
			continue
		}
		if !names {
			line := d.back(d.Palette.Line, !d.Lit.On())
			d.pen.Rectangle(area, 0, drawing.Stroke{Colour: line, Width: d.px(1), Dash: []float64{d.px(2), d.px(4)}}, noFill)
			continue
		}
		if z.Label >= 0 && z.Label < len(d.Plan.Labels) {
			d.zoneName(&d.Plan.Labels[z.Label], area)
		}
	}
}

// zoneName writes the name of a zone, larger than to scale from afar, as long as
// it stays as wide as its zone.
func (d *drawer) zoneName(label *layout.Label, area drawing.Box) {
	size := label.Size
	for _, pixels := range []float64{13, 12, 11, 10, 9} {
		if label.Size*d.Scale >= pixels {
			break
		}
		if larger := d.px(pixels); drawing.Measure(label.Text, larger, drawing.Bold) <= area.Max.X-label.At.X {
			size = larger
			break
		}
	}
	if size*d.Scale < 6 {
		return
	}
	at := drawing.Point(label.At)
	if at.Y > middle(area).Y { // below its zone it grows downwards
		at.Y += (size - label.Size) * drawing.CapHeight()
	}
	if size > label.Size { // it reaches beyond the place that is kept free for it
		wide, high := drawing.Measure(label.Text, size, drawing.Bold), size*drawing.CapHeight()
		d.pen.Rectangle(drawing.Box{Min: drawing.Point{X: at.X - d.px(2), Y: at.Y - high - d.px(2)}, Max: drawing.Point{X: at.X + wide + d.px(2), Y: at.Y + d.px(2)}}, 0, none, d.Palette.Ground)
	}
	d.pen.Text(drawing.Text{At: at, Text: label.Text, Size: size, Face: drawing.Bold, Colour: d.back(d.Palette.Soft, !d.Lit.On())})
}

// dots marks where wires of one net part.
func (d *drawer) dots() {
	r := max(3, d.px(2))
	for i := range d.Plan.Dots {
		at := drawing.Point(d.Plan.Dots[i].At)
		if !within(d.seen, at) {
			continue
		}
		if d.Scale < 0.6 {
			d.pen.Rectangle(square(at, d.px(1.5)), 0, none, d.back(d.Palette.Ink, !d.Lit.On()))
			continue
		}
		d.pen.Circle(at, r, none, d.back(d.Palette.Ink, !d.Lit.On()))
	}
}

func square(at drawing.Point, half float64) drawing.Box {
	return drawing.Box{Min: drawing.Point{X: at.X - half, Y: at.Y - half}, Max: drawing.Point{X: at.X + half, Y: at.Y + half}}
}

// names writes the names of wires, and of what stands by itself.
func (d *drawer) names() {
	if !d.detail.name {
		return
	}
	for i := range d.wires {
		w := &d.wires[i]
		at := d.Plan.Wires[i].Label
		if !w.here || at < 0 || at >= len(d.Plan.Labels) {
			continue
		}
		label := &d.Plan.Labels[at]
		if !touch(boxOf(label.Rect), d.seen) {
			continue
		}
		lit := d.Lit.wire(i) != 0
		if d.Lit.On() && !lit {
			continue // what steps back keeps no small print
		}
		d.text(label, d.Palette.Soft, true)
	}
}

func (d *drawer) text(label *layout.Label, c color.NRGBA, lit bool) {
	face := drawing.Regular
	if label.Bold {
		face = drawing.Bold
	}
	d.pen.Text(drawing.Text{At: drawing.Point(label.At), Text: label.Text, Size: label.Size, Face: face, Colour: d.back(c, lit)})
}
