package book

import (
	"cmp"
	"slices"

	"bellout/app/drawing"
	"bellout/graphs/layout"
	"bellout/model"
)

// edge is one side of a part of the chart.
type edge int

const (
	leftEdge edge = iota
	rightEdge
	topEdge
	bottomEdge
)

// exit is a wire that leaves a page: where, and which of its ends lies that way. A
// device that a cut parts leaves it too, so that both parts have its name.
type exit struct {
	along float64 // the place on the edge, on the paper
	wire  string
	end   model.TerminalRef // zero: of a device, not of a wire
	to    func(*Bound) string
	link  string
}

// exits lists what leaves a tile, by edge, sorted along it. A wire that leaves and
// comes back stands at each place.
func (f *facts) exits(t *tile) [4][]exit {
	var list [4][]exit
	plan := f.chart.plan
	for i := range plan.Wires {
		r := &plan.Wires[i]
		for k := 1; k < len(r.Points); k++ {
			from, to := drawing.Point(r.Points[k-1]), drawing.Point(r.Points[k])
			for _, end := range []struct {
				inner, outer drawing.Point
				far          layout.End
			}{{from, to, r.To}, {to, from, r.From}} {
				e, p, leaves := t.crossing(end.inner, end.outer)
				if !leaves {
					continue
				}
				port := &plan.Boxes[end.far.Box].Ports[end.far.Port]
				x := exit{wire: r.Wire, end: port.Terminal, to: f.terminalReference(end.far, port.Terminal), link: onChart(port.Terminal.Device)}
				x.along = t.paper(p).Y
				if e == topEdge || e == bottomEdge {
					x.along = t.paper(p).X
				}
				list[e] = append(list[e], x)
			}
		}
	}
	for i := range plan.Boxes {
		b := &plan.Boxes[i]
		for _, cut := range t.parted(b) {
			x := exit{wire: b.Device, to: f.chart.reference(cut.beyond), link: onChart(b.Device), along: t.paper(cut.at).X}
			if cut.edge == leftEdge || cut.edge == rightEdge {
				x.along = t.paper(cut.at).Y
			}
			list[cut.edge] = append(list[cut.edge], x)
		}
	}
	for e := range list {
		slices.SortFunc(list[e], func(a, b exit) int { return cmp.Or(cmp.Compare(a.along, b.along), model.Compare(a.wire, b.wire)) })
	}
	return list
}

// parting is an edge that goes through a box: where on the edge its middle is, and
// a point of the box on the other side.
type parting struct {
	edge       edge
	at, beyond drawing.Point
}

// parted lists the edges of the tile that go through the body of a box.
func (t *tile) parted(b *layout.Box) []parting {
	body, part := b.Body, t.part
	x0, x1 := max(body.Min.X, part.Min.X), min(body.Max.X, part.Max.X)
	y0, y1 := max(body.Min.Y, part.Min.Y), min(body.Max.Y, part.Max.Y)
	if x0 >= x1 || y0 >= y1 {
		return nil
	}
	x, y := (x0+x1)/2, (y0+y1)/2
	var list []parting
	if body.Min.X < part.Min.X {
		list = append(list, parting{leftEdge, at(part.Min.X, y), at(part.Min.X-1, y)})
	}
	if body.Max.X > part.Max.X {
		list = append(list, parting{rightEdge, at(part.Max.X, y), at(part.Max.X+1, y)})
	}
	if body.Min.Y < part.Min.Y {
		list = append(list, parting{topEdge, at(x, part.Min.Y), at(x, part.Min.Y-1)})
	}
	if body.Max.Y > part.Max.Y {
		list = append(list, parting{bottomEdge, at(x, part.Max.Y), at(x, part.Max.Y+1)})
	}
	return list
}

// crossing says where an upright or level run leaves the tile through one of its
// edges, seen from one of its points towards the other.
func (t *tile) crossing(inner, outer drawing.Point) (edge, drawing.Point, bool) {
	part := t.part
	level := inner.Y == outer.Y
	switch {
	case level && inner.Y > part.Min.Y && inner.Y < part.Max.Y:
		if inner.X < part.Max.X && outer.X > part.Max.X {
			return rightEdge, at(part.Max.X, inner.Y), true
		}
		if inner.X > part.Min.X && outer.X < part.Min.X {
			return leftEdge, at(part.Min.X, inner.Y), true
		}
	case !level && inner.X > part.Min.X && inner.X < part.Max.X:
		if inner.Y < part.Max.Y && outer.Y > part.Max.Y {
			return bottomEdge, at(inner.X, part.Max.Y), true
		}
		if inner.Y > part.Min.Y && outer.Y < part.Min.Y {
			return topEdge, at(inner.X, part.Min.Y), true
		}
	}
	return 0, drawing.Point{}, false
}

// spread moves places apart along an edge, each as near to where it belongs as its
// neighbours allow.
func spread(places []float64, pitch, from, to float64) []float64 {
	out := slices.Clone(places)
	for i := range out {
		out[i] = max(out[i], from+pitch/2)
		if i > 0 {
			out[i] = max(out[i], out[i-1]+pitch)
		}
	}
	limit := to - pitch/2
	for i := len(out) - 1; i >= 0 && out[i] > limit; i-- {
		out[i] = limit
		limit -= pitch
	}
	return out
}

// drawExits writes at each edge which wires go on, where to, and on which page.
func (f *facts) drawExits(p *page, t *tile) {
	if len(f.chart.tiles) < 2 {
		return
	}
	room := chartRoom(p.width, p.height)
	for e, list := range f.exits(t) {
		across := edge(e) == leftEdge || edge(e) == rightEdge
		from, to := room.Min.X+exitAcross, room.Max.X-exitAcross
		if across {
			from, to = room.Min.Y+exitUp, room.Max.Y-exitUp
		}
		size, pitch := 1.9, 2.3
		if need := float64(len(list)) * pitch; need > to-from {
			pitch = max((to-from)/float64(len(list)), 1.55)
			size = pitch / 1.2
		}
		most := int((to - from) / pitch)
		if len(list) > most { // more than can be told apart: the wire list has them all
			list = list[:most]
		}
		places := make([]float64, len(list))
		for i, x := range list {
			places[i] = x.along
		}
		for i, y := range spread(places, pitch, from, to) {
			p.exit(t, edge(e), list[i], y, size, room)
		}
	}
}

// exit writes one exit beside its edge and leads from the edge to it.
func (p *page) exit(t *tile, e edge, x exit, place, size float64, room drawing.Box) {
	const lead = 3.2
	var from, to drawing.Point
	text := drawing.Text{Size: size, Face: drawing.Regular, Colour: ink}
	width := exitAcross - lead - 1
	switch e {
	case leftEdge:
		from, to = at(t.on.Min.X, x.along), at(t.on.Min.X-lead, place)
		text.Align, text.At = drawing.Right, at(to.X-0.4, place+size*0.34)
		width = to.X - 0.4 - room.Min.X
	case rightEdge:
		from, to = at(t.on.Max.X, x.along), at(t.on.Max.X+lead, place)
		text.At = at(to.X+0.4, place+size*0.34)
		width = room.Max.X - to.X - 0.4
	case topEdge:
		from, to = at(x.along, t.on.Min.Y), at(place, t.on.Min.Y-lead)
		text.Upward, text.At = true, at(place+size*0.34, to.Y-0.4)
		width = to.Y - 0.4 - room.Min.Y
	case bottomEdge:
		from, to = at(x.along, t.on.Max.Y), at(place, t.on.Max.Y+lead)
		text.Upward, text.Align, text.At = true, drawing.Right, at(place+size*0.34, to.Y+0.4)
		width = room.Max.Y - to.Y - 0.4
	}
	if x.end == (model.TerminalRef{}) {
		text.Face = drawing.Bold
	}
	p.line(from.X, from.Y, to.X, to.Y, 0.12, soft)
	p.do(func(pen drawing.Pen, b *Bound) {
		t := text
		t.Text = exitText(x, x.to(b), size, min(width, 40), text.Face)
		pen.Text(t)
		if _, there := b.pageOf(x.link); there {
			pen.Link(textBox(t), x.link)
		}
	})
}

// exitText is the wire, its far end and page and zone of that: the end is cut
// first where all of it has no room.
func exitText(x exit, to string, size, width float64, face drawing.Face) string {
	if to != "" {
		to = " " + to
	}
	whole := x.wire + to
	if x.end != (model.TerminalRef{}) {
		whole = x.wire + " " + x.end.String() + to
	}
	if drawing.Measure(whole, size, face) <= width {
		return whole
	}
	short := x.wire + to
	rest := width - drawing.Measure(short+" ", size, face)
	if end := drawing.Fit(x.end.String(), size, face, rest); rest > 4 && end != "" {
		return x.wire + " " + end + to
	}
	if drawing.Measure(short, size, face) <= width {
		return short
	}
	return drawing.Fit(x.wire, size, face, max(0, width-drawing.Measure(to, size, face))) + to
}
