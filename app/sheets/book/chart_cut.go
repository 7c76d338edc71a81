package book

import (
	"fmt"
	"math"
	"slices"

	"bellout/app/drawing"
)

// Room around the part of the chart on a page.
const (
	zoneStrip  = 4.5  // letters and numbers along the frame
	exitAcross = 23.0 // left and right: names of wires that go on elsewhere
	exitUp     = 15.0 // above and below
	legendRoom = 4.0
	zonesWide  = 8
	zonesHigh  = 6
)

// chartRoom is where the chart may lie on a page, exits included.
func chartRoom(width, height float64) drawing.Box {
	f := frameOf(width, height)
	return box(f.Min.X+zoneStrip+1, f.Min.Y+zoneStrip+1, f.Max.X-zoneStrip-1, f.Max.Y-blockHeight-zoneStrip-1-legendRoom)
}

// zoneField is what letters and numbers divide.
func zoneField(width, height float64) drawing.Box {
	f := frameOf(width, height)
	return box(f.Min.X, f.Min.Y, f.Max.X, f.Max.Y-blockHeight)
}

// zoneAt names the field of a point on the page: a letter down, a number across.
func zoneAt(width, height float64, p drawing.Point) string {
	f := zoneField(width, height)
	column := int(math.Floor((p.X - f.Min.X) / (f.Max.X - f.Min.X) * zonesWide))
	row := int(math.Floor((p.Y - f.Min.Y) / (f.Max.Y - f.Min.Y) * zonesHigh))
	column, row = min(max(column, 0), zonesWide-1), min(max(row, 0), zonesHigh-1)
	return fmt.Sprintf("%c%d", 'A'+row, column+1)
}

// cut cuts the chart into pages: between columns of boxes where it can, then
// each upright band between its boxes.
func (c *chartPlan) cut(size Paper) {
	width, height := size.size(true)
	room := chartRoom(width, height)
	bounds := drawing.Box{Min: drawing.Point(c.plan.Bounds.Min), Max: drawing.Point(c.plan.Bounds.Max)}
	wide, high := (room.Max.X-room.Min.X)/c.scale, (room.Max.Y-room.Min.Y)/c.scale
	if bounds.Max.X-bounds.Min.X <= wide && bounds.Max.Y-bounds.Min.Y <= high {
		c.tiles = []*tile{newTile(1, bounds, room, width, height, c.scale)}
		return
	}
	c.overview = true
	room = box(room.Min.X+exitAcross, room.Min.Y+exitUp, room.Max.X-exitAcross, room.Max.Y-exitUp)
	wide, high = (room.Max.X-room.Min.X)/c.scale, (room.Max.Y-room.Min.Y)/c.scale
	things := c.things()
	var across []span
	for _, b := range things.boxes {
		across = append(across, span{b.Min.X, b.Max.X})
	}
	xs := cuts(bounds.Min.X, bounds.Max.X, wide, across)
	for i := 1; i < len(xs); i++ {
		band, some := things.within(box(xs[i-1], bounds.Min.Y, xs[i], bounds.Max.Y))
		if !some {
			continue
		}
		var down []span
		for _, b := range things.boxes {
			if b.Max.X > xs[i-1] && b.Min.X < xs[i] {
				down = append(down, span{b.Min.Y, b.Max.Y})
			}
		}
		ys := cuts(band.Min.Y, band.Max.Y, high, down)
		for k := 1; k < len(ys); k++ {
			if part, some := things.within(box(xs[i-1], ys[k-1], xs[i], ys[k])); some {
				c.tiles = append(c.tiles, newTile(len(c.tiles)+1, part, room, width, height, c.scale))
			}
		}
	}
}

// things are what stands on the chart, each with the room that it needs.
type things struct{ boxes, runs []drawing.Box }

func (c *chartPlan) things() things {
	const aside = 14.0 // marks of what failed, names over wires
	var t things
	for i := range c.plan.Boxes {
		b := &c.plan.Boxes[i]
		t.boxes = append(t.boxes, box(b.Min.X-aside, b.Min.Y-aside, b.Max.X+aside, b.Max.Y+aside))
	}
	for i := range c.plan.Wires {
		points := c.plan.Wires[i].Points
		for k := 1; k < len(points); k++ {
			a, b := points[k-1], points[k]
			t.runs = append(t.runs, box(min(a.X, b.X)-aside, min(a.Y, b.Y)-aside, max(a.X, b.X)+aside, max(a.Y, b.Y)+aside))
		}
	}
	return t
}

// within is the least box within a part that holds all that stands in the part;
// false where nothing does.
func (t things) within(part drawing.Box) (drawing.Box, bool) {
	found := box(math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1))
	some := false
	for _, list := range [][]drawing.Box{t.boxes, t.runs} {
		for _, b := range list {
			cut := box(max(b.Min.X, part.Min.X), max(b.Min.Y, part.Min.Y), min(b.Max.X, part.Max.X), min(b.Max.Y, part.Max.Y))
			if cut.Min.X >= cut.Max.X || cut.Min.Y >= cut.Max.Y {
				continue
			}
			some = true
			found = box(min(found.Min.X, cut.Min.X), min(found.Min.Y, cut.Min.Y), max(found.Max.X, cut.Max.X), max(found.Max.Y, cut.Max.Y))
		}
	}
	return found, some
}

func newTile(number int, part, room drawing.Box, width, height, scale float64) *tile {
	w, h := (part.Max.X-part.Min.X)*scale, (part.Max.Y-part.Min.Y)*scale
	x := room.Min.X + (room.Max.X-room.Min.X-w)/2
	y := room.Min.Y + (room.Max.Y-room.Min.Y-h)/2
	return &tile{number: number, part: part, on: box(x, y, x+w, y+h), width: width, height: height, scale: scale}
}

// span is what a cut should not go through.
type span struct{ from, to float64 }

// cuts divides from..to into parts of at most a length, at places that go through
// as few spans as can be, by the least sum over all of them; ends included. Places
// lie off the grid of the chart, so that no line runs along a cut.
func cuts(from, to, length float64, spans []span) []float64 {
	if to-from <= length {
		return []float64{from, to}
	}
	const off = 2.37
	var places []float64
	for _, s := range spans {
		places = append(places, s.from-off, s.to+off)
	}
	for at := from + length/7; at < to; at += length / 7 {
		places = append(places, math.Floor(at/8)*8+off)
	}
	slices.Sort(places)
	places = slices.Compact(places)
	places = slices.DeleteFunc(places, func(p float64) bool { return p <= from+1 || p >= to-1 })
	places = append(append([]float64{from}, places...), to)
	cost := costs(places, spans)
	// The cheapest way from the first place to the last: each page costs a little,
	// a page that is hardly filled as well.
	best := make([]float64, len(places))
	before := make([]int, len(places))
	for i := 1; i < len(places); i++ {
		best[i] = math.Inf(1)
		for j := i - 1; j >= 0 && places[i]-places[j] <= length; j-- {
			sum := best[j] + cutCost*cost[i] + pageCost
			if sum < best[i] {
				best[i], before[i] = sum, j
			}
		}
		if math.IsInf(best[i], 1) { // the next place is too far off: cut on the way
			best[i], before[i] = best[i-1]+1e6, i-1
		}
	}
	list := []float64{to}
	for i := len(places) - 1; i > 0; i = before[i] {
		list = append(list, places[before[i]])
	}
	slices.Reverse(list)
	var out []float64
	for i, p := range list {
		for i > 0 && p-out[len(out)-1] > length {
			out = append(out, out[len(out)-1]+length)
		}
		out = append(out, p)
	}
	return out
}

// What a cut through one box and what one page more count: a page is spent where
// that saves three boxes from being parted.
const (
	cutCost  = 2.0
	pageCost = 6.0
)

// costs counts the spans that a cut at each place goes through; the ends cost
// nothing.
func costs(places []float64, spans []span) []float64 {
	starts, ends := make([]float64, len(spans)), make([]float64, len(spans))
	for i, s := range spans {
		starts[i], ends[i] = s.from, s.to
	}
	slices.Sort(starts)
	slices.Sort(ends)
	cost := make([]float64, len(places))
	for i, p := range places[:len(places)-1] {
		begun, _ := slices.BinarySearch(starts, p)
		ended, _ := slices.BinarySearch(ends, p)
		cost[i] = float64(begun - ended)
	}
	cost[0] = 0
	return cost
}

// drawZones draws the letters and numbers along the frame.
func drawZones(pen drawing.Pen, p *page) {
	f := zoneField(p.width, p.height)
	thin := drawing.Stroke{Colour: ink, Width: 0.15}
	pen.Rectangle(box(f.Min.X+zoneStrip, f.Min.Y+zoneStrip, f.Max.X-zoneStrip, f.Max.Y-zoneStrip), 0, thin, noFill)
	write := func(x, y float64, text string) {
		pen.Text(drawing.Text{At: at(x, y+0.9), Text: text, Size: smallSize, Face: drawing.Bold, Align: drawing.Centre, Colour: ink})
	}
	for i := range zonesWide {
		step := (f.Max.X - f.Min.X) / zonesWide
		x := f.Min.X + step*(float64(i)+0.5)
		for _, y := range []float64{f.Min.Y, f.Max.Y - zoneStrip} {
			write(x, y+zoneStrip/2, fmt.Sprint(i+1))
			if i > 0 {
				pen.Line([]drawing.Point{at(x-step/2, y), at(x-step/2, y+zoneStrip)}, thin)
			}
		}
	}
	for i := range zonesHigh {
		step := (f.Max.Y - f.Min.Y) / zonesHigh
		y := f.Min.Y + step*(float64(i)+0.5)
		for _, x := range []float64{f.Min.X, f.Max.X - zoneStrip} {
			write(x+zoneStrip/2, y, string(rune('A'+i)))
			if i > 0 {
				pen.Line([]drawing.Point{at(x, y-step/2), at(x+zoneStrip, y-step/2)}, thin)
			}
		}
	}
}
