package layout

import "bellout/model"

// Grid is the step, in units, on which boxes stand; a dragged box is snapped to
// it. Row is the distance of two ports on one side of a box.
const (
	Grid = 8.0
	Row  = 16.0
)

// Plan is a chart that can be drawn. It does not change. Places in one of its
// slices refer to the others by index; everything also carries the name that the
// machine has for it.
type Plan struct {
	Boxes  []Box   // every device, sorted as people read references
	Wires  []Route // every wire that is not removed, sorted by name
	Rails  []Rail  // bars that common several terminals
	Dots   []Dot   // where wires that share a terminal part
	Labels []Label
	Zones  []Zone // areas that hold one zone's boxes and no other's; may be empty
	Bounds Rect   // holds all of the above, with a margin

	byDevice map[string]int
	byWire   map[string]int
}

// Point is a place on the chart.
type Point struct{ X, Y float64 }

// Rect is an upright rectangle; Min is its upper left corner.
type Rect struct{ Min, Max Point }

// Shape says how the trade draws a device.
type Shape uint8

// The shapes.
const (
	// Plain is a box with marks beside its ports.
	Plain Shape = iota
	// Inline is a small part that a conductor passes: a fuse, breaker, switch or
	// splice; its ports stand on both sides, pairs of one row facing each other.
	Inline
	// Plug is a connector with two mated halves: a seam runs at Box.Seam, pins of
	// one half on the left in pin order, of the other on the right, mates in one
	// row.
	Plug
	// Strip is a terminal block or a connector with one row of pins: each row
	// within Box.Body is one strip in pin order, to which wires come from both
	// sides.
	Strip
	// Source is a supply, battery, converter or mains inlet.
	Source
	// Load is what current flows to in the end: coil, motor, lamp, speaker, sensor.
	Load
)

// Box is one device.
type Box struct {
	Device string
	Kind   model.DeviceKind
	Zone   string
	Shape  Shape
	Rect        // outline, labels of reference and title included
	Body   Rect // the part that is drawn as the device itself: the header with reference and title stands above it
	Seam   float64
	Ports  []Port // one for each terminal, in reading order
	Header []int  // its labels in Plan.Labels: reference, then lines of the title
	Pinned bool   // it stands where somebody put it
	Layer  int    // its column, counted from 0 on the left; -1 where it stands by itself

	title string // as the machine has it: a change is seen
}

// Side is the side of a box on which a port stands.
type Side uint8

// The sides. Inside is a terminal without a wire in a device with very many: a
// dot within the body.
const (
	Left Side = iota
	Right
	Inside
)

// Port is one terminal. Wires end at At, or at Far where Through is set: a strip
// is reached from both sides.
type Port struct {
	Terminal model.TerminalRef
	At       Point
	Side     Side // of At
	Through  bool
	Far      Point // on the other side of the body; At where Through is not set
	Label    int   // the mark in Plan.Labels
	Wired    bool  // a wire that is not removed ends here
}

// End is one end of a wire: Plan.Boxes[Box].Ports[Port].
type End struct{ Box, Port int }

// Route is one wire. Points lead from From to To, as the machine's row says,
// and any two after another share their x or their y. There are at least two.
type Route struct {
	Wire     string
	From, To End
	Net      int // a number of its own for each net: wires of one net may touch
	Points   []Point
	Hops     []Point // where it crosses a run of another net, along the way; of two that cross, the one that runs across (not upright) hops
	Label    int     // its name in Plan.Labels; -1 where no place was free for it
}

// Rail is a bar that commons terminals of one box (solid links), drawn as a
// long line through their rows.
type Rail struct {
	Box      int
	Net      int
	From, To Point
	Ports    []int // those that it joins, from top to bottom
}

// Dot is a place where routes of one net part.
type Dot struct {
	At  Point
	Net int
}

// LabelKind says what a label names.
type LabelKind uint8

// The kinds of label.
const (
	Reference LabelKind = iota // of Box: bold
	Title                      // of Box: one line of it
	Mark                       // of Port of Box
	WireName                   // of Wire: name and colour letters
	ZoneName                   // of Zone: bold
)

// Label is a text in a place that is kept free for it.
type Label struct {
	Text string
	Kind LabelKind
	Size float64 // of the type: the height of a line is about 1.2 of it
	Bold bool
	At   Point // left end of the base line
	Rect       // what it covers
	Box  int   // Reference, Title, Mark; else -1
	Port int   // Mark; else -1
	Wire int   // WireName: place in Plan.Wires; else -1
	Zone int   // ZoneName; else -1
}

// Zone is an area of the machine.
type Zone struct {
	Name string
	Rect
	Label int // its name in Plan.Labels
}

// Measure returns the width, in units, of a text set in type of that size.
type Measure func(text string, size float64, bold bool) float64

// Progress is told how much is done, from 0 to 1, and what is being done.
type Progress func(done float64, what string)

// Options say how to place. The zero value computes a new plan with an assumed
// width of type.
type Options struct {
	Measure  Measure  // nil: every character is 0.58 of the size wide
	Progress Progress // may be nil
	// Previous is the plan that people see now: what has not changed stays. Nil
	// computes a new one.
	Previous *Plan
	// Saved are upper left corners of boxes as Plan.Positions gave them, used for
	// devices that Previous does not hold.
	Saved map[string]Point
	// Pinned are upper left corners of boxes that somebody dragged: they stand
	// there, snapped to Grid, and others give way.
	Pinned map[string]Point
}

// Box returns the place in Boxes of a device.
func (p *Plan) Box(device string) (at int, ok bool) { at, ok = p.byDevice[device]; return at, ok }

// Wire returns the place in Wires of a wire.
func (p *Plan) Wire(name string) (at int, ok bool) { at, ok = p.byWire[name]; return at, ok }

// Positions returns the upper left corner of every box, to be saved and handed
// back in Options.
func (p *Plan) Positions() map[string]Point {
	positions := make(map[string]Point, len(p.Boxes))
	for i := range p.Boxes {
		positions[p.Boxes[i].Device] = p.Boxes[i].Min
	}
	return positions
}
