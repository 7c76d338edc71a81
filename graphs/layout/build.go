package layout

import (
	"math"
	"slices"
)

// builder fills a plan.
type builder struct {
	*sheet
	plan *Plan
	port []End // of a terminal
}

func newBuilder(s *sheet) *builder {
	return &builder{sheet: s, port: make([]End, len(s.terminals)), plan: &Plan{
		Boxes:    make([]Box, 0, len(s.devices)),
		Wires:    make([]Route, 0, len(s.wires)),
		byDevice: make(map[string]int, len(s.devices)),
		byWire:   make(map[string]int, len(s.wires)),
	}}
}

// label adds a text whose base line begins at a point; size is that of the type.
func (b *builder) label(l Label, x, y float64) int {
	l.At = Point{x, y}
	l.Rect = Rect{Point{x, y - 0.95*l.Size}, Point{x + b.measure(l.Text, l.Size, l.Bold), y + 0.25*l.Size}}
	b.plan.Labels = append(b.plan.Labels, l)
	return len(b.plan.Labels) - 1
}

// box adds the next device, its upper left corner at a point.
func (b *builder) box(d int, f *form, at Point, layer int) {
	device := &b.devices[d]
	box := Box{
		Device: device.Ref, Kind: device.Kind, Zone: device.Zone, Shape: f.shape, Layer: layer, title: device.Title,
		Rect:  Rect{at, Point{at.X + f.width, at.Y + f.height}},
		Body:  Rect{Point{at.X, at.Y + f.header}, Point{at.X + f.width, at.Y + f.height}},
		Seam:  at.X + f.seam,
		Ports: make([]Port, b.first[d+1]-b.first[d]),
	}
	number := len(b.plan.Boxes)
	b.plan.byDevice[device.Ref] = number
	if reference := clean(device.Ref); reference != "" {
		box.Header = append(box.Header, b.label(Label{
			Text: reference, Kind: Reference, Size: referenceSize, Bold: true, Box: number, Port: -1, Wire: -1, Zone: -1,
		}, at.X, at.Y+12))
	}
	for i, line := range f.lines {
		if line == "" {
			continue
		}
		x, y := at.X, at.Y+headerLine+8.5+titleLine*float64(i)
		if f.beside {
			x, y = at.X+b.measure(clean(device.Ref), referenceSize, true)+6, at.Y+12
		}
		box.Header = append(box.Header, b.label(Label{Text: line, Kind: Title, Size: titleSize, Box: number, Port: -1, Wire: -1, Zone: -1}, x, y))
	}
	f.spots(func(t int, s spot) { box.Ports[t-b.first[d]] = b.portOf(t, s, f, &box, number) })
	b.plan.Boxes = append(b.plan.Boxes, box)
	b.rails(d, number)
}

func (b *builder) portOf(t int, s spot, f *form, box *Box, number int) Port {
	port := Port{Terminal: b.terminals[t].Ref(), Side: s.side, Through: s.through, Wired: b.degree[t] > 0, Label: -1}
	b.port[t] = End{number, t - b.first[b.deviceOf[t]]}
	text := clean(b.terminals[t].Mark)
	wide := b.measure(text, markSize, false)
	y := box.Min.Y + f.rowAt(s.row)
	x := 0.0
	switch s.side {
	case Left:
		port.At = Point{box.Min.X, y}
		port.Far = port.At
		x = box.Min.X + 6
		if s.through {
			port.Far = Point{box.Max.X, y}
			x = (box.Min.X+box.Max.X)/2 - wide/2 + 4
		}
	case Right:
		port.At = Point{box.Max.X, y}
		port.Far = port.At
		x = box.Max.X - 6 - wide
	case Inside:
		columns, cell := b.insideGrid(f)
		y = box.Min.Y + f.rowAt(f.rows+s.row/columns)
		port.At = Point{box.Min.X + Grid + cell*float64(s.row%columns), y}
		port.Far = port.At
		x = port.At.X + 6
	}
	if text != "" {
		port.Label = b.label(Label{Text: text, Kind: Mark, Size: markSize, Box: number, Port: t - b.first[b.deviceOf[t]], Wire: -1, Zone: -1}, x, y+3.5)
	}
	return port
}

// rails draws the bars of a block: one for each set of strips that solid links
// join. Bars whose rows interleave stand beside one another.
func (b *builder) rails(d, number int) {
	box := &b.plan.Boxes[number]
	if box.Shape != Strip {
		return
	}
	sets := map[int][]int{}
	var order []int
	for t := b.first[d]; t < b.first[d+1]; t++ {
		if box.Ports[t-b.first[d]].Side == Inside {
			continue
		}
		if len(sets[b.bar[t]]) == 0 {
			order = append(order, b.bar[t])
		}
		sets[b.bar[t]] = append(sets[b.bar[t]], t-b.first[d])
	}
	var below []float64 // of each line of bars
	for _, set := range order {
		ports := sets[set]
		if len(ports) < 2 {
			continue
		}
		slices.SortFunc(ports, func(i, j int) int { return int(box.Ports[i].At.Y - box.Ports[j].At.Y) })
		from, to := box.Ports[ports[0]].At.Y, box.Ports[ports[len(ports)-1]].At.Y
		line := 0
		for line < len(below) && below[line] >= from {
			line++
		}
		if line == len(below) {
			below = append(below, 0)
		}
		below[line] = to
		x := min(box.Min.X+6+4*float64(line), box.Max.X-4)
		b.plan.Rails = append(b.plan.Rails, Rail{
			Box: number, Net: b.net[b.first[d]+ports[0]], From: Point{x, from}, To: Point{x, to}, Ports: ports,
		})
	}
}

// packLoose sets devices that no wire joins to others into rows under the rest.
func (b *builder) packLoose(forms []*form) {
	var loose []int
	bounds := Rect{Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}}
	area := 0.0
	for d := range b.plan.Boxes {
		box := &b.plan.Boxes[d]
		if box.Layer < 0 {
			loose = append(loose, d)
			area += (forms[d].width + 2*Grid) * (forms[d].height + 2*Grid)
		} else {
			bounds = bounds.with(box.Rect)
		}
	}
	if len(loose) == 0 {
		return
	}
	for i := range b.plan.Wires {
		for _, at := range b.plan.Wires[i].Points {
			bounds = bounds.with(Rect{at, at})
		}
	}
	if math.IsInf(bounds.Min.X, 1) {
		bounds = Rect{}
	}
	slices.SortStableFunc(loose, func(i, j int) int { return int(forms[i].height - forms[j].height) })
	wide := max(bounds.Max.X-bounds.Min.X, math.Sqrt(area)*1.4)
	x, y, tall := bounds.Min.X, up(bounds.Max.Y)+6*Grid, 0.0
	for _, d := range loose {
		f := forms[d]
		if x > bounds.Min.X && x+f.width > bounds.Min.X+wide {
			x, y, tall = bounds.Min.X, y+tall+2*Grid, 0
		}
		b.move(d, Point{x, y})
		x += f.width + 2*Grid
		tall = max(tall, f.height)
	}
}

// move puts a box elsewhere, with all that hangs on it but its wires.
func (b *builder) move(number int, to Point) {
	box := &b.plan.Boxes[number]
	by := Point{to.X - box.Min.X, to.Y - box.Min.Y}
	box.Rect = box.Rect.moved(by)
	box.Body = box.Body.moved(by)
	box.Seam += by.X
	for i := range box.Ports {
		p := &box.Ports[i]
		p.At, p.Far = p.At.moved(by), p.Far.moved(by)
		if p.Label >= 0 {
			b.plan.Labels[p.Label].moved(by)
		}
	}
	for _, l := range box.Header {
		b.plan.Labels[l].moved(by)
	}
	for i := range b.plan.Rails {
		if r := &b.plan.Rails[i]; r.Box == number {
			r.From, r.To = r.From.moved(by), r.To.moved(by)
		}
	}
}

func (p Point) moved(by Point) Point { return Point{p.X + by.X, p.Y + by.Y} }

func (r Rect) moved(by Point) Rect { return Rect{r.Min.moved(by), r.Max.moved(by)} }

func (l *Label) moved(by Point) { l.At, l.Rect = l.At.moved(by), l.Rect.moved(by) }

// with returns the least rectangle that holds both.
func (r Rect) with(other Rect) Rect {
	return Rect{
		Point{min(r.Min.X, other.Min.X), min(r.Min.Y, other.Min.Y)},
		Point{max(r.Max.X, other.Max.X), max(r.Max.Y, other.Max.Y)},
	}
}

// route adds the next wire.
func (b *builder) route(i int, points []Point) {
	w := b.wires[i]
	b.plan.byWire[w.row.Name] = len(b.plan.Wires)
	b.plan.Wires = append(b.plan.Wires, Route{
		Wire: w.row.Name, From: b.port[w.from], To: b.port[w.to], Net: b.net[w.from], Points: points, Label: -1,
	})
}

// wireLabel writes a wire's name over the stub at one of its ports.
func (b *builder) wireLabel(i int, t tag, offset float64) {
	end := b.port[t.terminal]
	box := &b.plan.Boxes[end.Box]
	at := box.Ports[end.Port].At
	text := b.wireText(i)
	x := box.Max.X + offset
	if t.side == Left {
		x = box.Min.X - offset - b.measure(text, wireSize, false)
	}
	b.plan.Wires[i].Label = b.label(Label{Text: text, Kind: WireName, Size: wireSize, Box: -1, Port: -1, Wire: i, Zone: -1}, x, at.Y-3)
}

// finish adds what follows from boxes and routes.
func (b *builder) finish() *Plan {
	b.dots()
	b.hops()
	b.zones()
	p := b.plan
	bounds := Rect{}
	for i := range p.Boxes {
		if i == 0 {
			bounds = p.Boxes[i].Rect
		}
		bounds = bounds.with(p.Boxes[i].Rect)
	}
	for i := range p.Wires {
		for _, at := range p.Wires[i].Points {
			bounds = bounds.with(Rect{at, at})
		}
	}
	for i := range p.Labels {
		bounds = bounds.with(p.Labels[i].Rect)
	}
	for i := range p.Zones {
		bounds = bounds.with(p.Zones[i].Rect)
	}
	const margin = 3 * Grid
	p.Bounds = Rect{Point{bounds.Min.X - margin, bounds.Min.Y - margin}, Point{bounds.Max.X + margin, bounds.Max.Y + margin}}
	return p
}
