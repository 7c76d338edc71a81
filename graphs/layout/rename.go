package layout

// nameStub writes a wire's name beside one of its ports, as on a new plan, if
// the place is free.
func (k *keep) nameStub(i int) {
	text := k.wireText(i)
	wide := k.measure(text, wireSize, false)
	w := k.sheet.wires[i]
	for _, t := range []int{w.from, w.to} {
		for _, from := range k.ports(t) {
			x := from.at.X + 3
			if from.side == Left {
				x = from.at.X - 3 - wide
			}
			if l := k.wireName(i, text, x, from.at.Y-3); k.bare(l.Rect) {
				k.keepLabel(i, l)
				return
			}
		}
	}
}

func (k *keep) wireName(i int, text string, x, y float64) Label {
	l := Label{Text: text, Kind: WireName, Size: wireSize, Box: -1, Port: -1, Wire: i, Zone: -1, At: Point{x, y}}
	l.Rect = Rect{Point{x, y - 0.95*wireSize}, Point{x + k.measure(text, wireSize, false), y + 0.25*wireSize}}
	return l
}

// nameWire looks for a free place for a wire's name along its way: over its
// level runs from either end, under them, beside its upright ones.
func (k *keep) nameWire(i int) {
	text := k.wireText(i)
	if text == "" {
		return
	}
	wide := k.measure(text, wireSize, false)
	points := k.plan.Wires[i].Points
	try := func(x, y float64) bool {
		l := k.wireName(i, text, x, y)
		if !k.bare(l.Rect) {
			return false
		}
		k.keepLabel(i, l)
		return true
	}
	for _, drop := range []float64{-3, 0.95*wireSize + 1} {
		for n := 1; n < len(points); n++ {
			a, b := points[n-1], points[n]
			if a.Y != b.Y {
				continue
			}
			low, high := min(a.X, b.X)+3, max(a.X, b.X)-3-wide
			for x := low; x <= high; x += Grid {
				if try(x, a.Y+drop) {
					return
				}
			}
		}
	}
	for n := 1; n < len(points); n++ {
		a, b := points[n-1], points[n]
		if a.X != b.X {
			continue
		}
		for y := min(a.Y, b.Y) + 12; y <= max(a.Y, b.Y)-3; y += Grid {
			if try(a.X+3, y) || try(a.X-3-wide, y) {
				return
			}
		}
	}
}

// unname takes a wire's name off the ground.
func (k *keep) unname(i int) {
	k.ground.labels.remove(k.labelAt[i])
	k.plan.Wires[i].Label = -1
}

// clearNames takes the names about a port off the ground, where wires find no
// way between them; they are written again when all wires lie.
func (k *keep) clearNames(ports []reachFrom) {
	const about = 16 * Grid
	for _, p := range ports {
		var names []int
		k.ground.labels.reach(Rect{Point{p.at.X - about, p.at.Y - about}, Point{p.at.X + about, p.at.Y + about}}, func(n int) bool {
			names = append(names, n)
			return true
		})
		for _, n := range names {
			k.unname(k.nameOf[n])
		}
	}
}

// named says that a wire's name stands at its way.
func (k *keep) named(i int) bool {
	l := k.plan.Labels[k.plan.Wires[i].Label].Rect
	const reach = 3.5
	l = Rect{Point{l.Min.X - reach, l.Min.Y - reach}, Point{l.Max.X + reach, l.Max.Y + reach}}
	points := k.plan.Wires[i].Points
	for n := 1; n < len(points); n++ {
		a, b := points[n-1], points[n]
		if share(l, Rect{Point{min(a.X, b.X), min(a.Y, b.Y)}, Point{max(a.X, b.X), max(a.Y, b.Y)}}) {
			return true
		}
	}
	return false
}

// dropLabels takes names out that no wire has any more.
func (k *keep) dropLabels() {
	p := k.plan
	moved := make([]int, len(p.Labels))
	kept := p.Labels[:0]
	for n := range p.Labels {
		l := p.Labels[n]
		if l.Kind == WireName && p.Wires[l.Wire].Label != n {
			continue
		}
		moved[n] = len(kept)
		kept = append(kept, l)
	}
	p.Labels = kept
	for i := range p.Wires {
		if l := &p.Wires[i].Label; *l >= 0 {
			*l = moved[*l]
		}
	}
	for i := range p.Boxes {
		for n := range p.Boxes[i].Header {
			p.Boxes[i].Header[n] = moved[p.Boxes[i].Header[n]]
		}
		for n := range p.Boxes[i].Ports {
			if l := &p.Boxes[i].Ports[n].Label; *l >= 0 {
				*l = moved[*l]
			}
		}
	}
}
