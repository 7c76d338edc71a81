package scene

import (
	"math"

	"bellout/app/drawing"
)

// cell is the side of a square of the grid, in units of the chart.
const cell = 96.0

// grid is an index of what lies where: each square of the chart lists what
// reaches into it. It is made once for a plan and answers in the time of the few
// squares that are asked for, which a comparison with every wire would not.
type grid struct {
	origin        drawing.Point
	columns, rows int
	first         []int32 // of a square: its part of items
	items         []item
}

// item is one thing in a square.
type item struct {
	kind itemKind
	at   int32 // box, wire or label
	part int32 // port of the box; run of the wire, by its first point
}

type itemKind uint8

const (
	itemPort itemKind = iota
	itemRun
	itemLabel
	itemBox
)

// maxSquares bounds the index of a chart however far a box was dragged.
const maxSquares = 1 << 20

func newGrid(s *Scene) *grid {
	bounds := s.Bounds()
	g := &grid{origin: bounds.Min}
	g.columns = max(1, int(math.Ceil((bounds.Max.X-bounds.Min.X)/cell)))
	g.rows = max(1, int(math.Ceil((bounds.Max.Y-bounds.Min.Y)/cell)))
	if g.columns > maxSquares/g.rows { // things beyond are found in the outermost squares
		g.columns, g.rows = min(g.columns, 1024), min(g.rows, 1024)
	}
	g.first = make([]int32, g.columns*g.rows+1)
	s.each(func(box drawing.Box, _ item) {
		g.squares(box, func(square int) { g.first[square+1]++ })
	})
	for i := 1; i < len(g.first); i++ {
		g.first[i] += g.first[i-1]
	}
	g.items = make([]item, g.first[len(g.first)-1])
	next := make([]int32, len(g.first)-1)
	copy(next, g.first)
	s.each(func(box drawing.Box, it item) {
		g.squares(box, func(square int) {
			g.items[next[square]] = it
			next[square]++
		})
	})
	return g
}

// each calls with everything that can be pointed at, and the box it lies in.
func (s *Scene) each(call func(drawing.Box, item)) {
	for i := range s.boxes {
		b := &s.boxes[i]
		call(b.outline, item{kind: itemBox, at: int32(i)})
		for j := range b.ports {
			call(square(b.ports[j].at, 0), item{kind: itemPort, at: int32(i), part: int32(j)})
			if b.Ports[j].Through {
				call(square(b.ports[j].far, 0), item{kind: itemPort, at: int32(i), part: int32(j)})
			}
		}
	}
	for i := range s.wires {
		w := &s.wires[i]
		for j := 1; j < len(w.points); j++ {
			call(span(w.points[j-1], w.points[j]), item{kind: itemRun, at: int32(i), part: int32(j - 1)})
		}
	}
	for i := range s.Plan.Labels {
		call(boxOf(s.Plan.Labels[i].Rect), item{kind: itemLabel, at: int32(i)})
	}
}

func span(a, b drawing.Point) drawing.Box {
	return drawing.Box{
		Min: drawing.Point{X: min(a.X, b.X), Y: min(a.Y, b.Y)},
		Max: drawing.Point{X: max(a.X, b.X), Y: max(a.Y, b.Y)},
	}
}

// squares calls with each square that a box reaches into. What lies outside the
// grid counts for the squares at its edge.
func (g *grid) squares(box drawing.Box, call func(int)) {
	column := func(x float64) int { return min(max(int((x-g.origin.X)/cell), 0), g.columns-1) }
	row := func(y float64) int { return min(max(int((y-g.origin.Y)/cell), 0), g.rows-1) }
	for y := row(box.Min.Y); y <= row(box.Max.Y); y++ {
		for x := column(box.Min.X); x <= column(box.Max.X); x++ {
			call(y*g.columns + x)
		}
	}
}

// near calls with each thing that reaches into the squares round a box. A thing
// in several squares comes several times.
func (g *grid) near(box drawing.Box, call func(item)) {
	g.squares(box, func(square int) {
		for _, it := range g.items[g.first[square]:g.first[square+1]] {
			call(it)
		}
	})
}
