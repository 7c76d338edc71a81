package place

// wires gives every wire its way: the one that it had, where both ends and all
// ground under it are as they were, else a new one.
func (k *keep) wires() error {
	count := len(k.sheet.wires)
	k.labelAt = make([]int, count)
	k.nameOf = map[int]int{}
	var anew, names []int // wires without a way; places of names in the previous plan
	for i, w := range k.sheet.wires {
		k.route(i, nil)
		old, found := k.previous.Wire(w.row.Name)
		if !found || !k.sameEnds(i, old) || !k.ground.clear(k.plan.Wires[i].Net, k.previous.Wires[old].Points) {
			anew, names = append(anew, i), append(names, -1)
			continue
		}
		before := &k.previous.Wires[old]
		k.plan.Wires[i].Points = before.Points
		k.ground.lay(i, k.plan.Wires[i].Net, before.Points)
		names = append(names, before.Label)
	}
	// Names that stay are ground that others keep off.
	for i, at := range names {
		if at < 0 {
			continue
		}
		if l := k.previous.Labels[at]; l.Text == k.wireText(i) && k.bare(l.Rect) {
			k.keepLabel(i, l)
		}
	}
	for _, i := range anew { // over the stubs, before others run there
		k.nameStub(i)
	}
	if err := k.lead(anew); err != nil {
		return err
	}
	for i := range count {
		if k.plan.Wires[i].Label >= 0 && !k.named(i) { // it went another way than its name
			k.unname(i)
		}
		if k.plan.Wires[i].Label < 0 {
			k.nameWire(i)
		}
	}
	k.dropLabels()
	return nil
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

// lead finds ways for wires. One that finds none takes the best that there is,
// and those that it lies on then look for another in their turn (rip up and
// reroute); a wire that has had to go often enough stays, so that it ends.
func (k *keep) lead(queue []int) error {
	const patience = 6
	gone := map[int]int{}
	done := 0.0
	for n := 0; n < len(queue); n++ {
		if err := k.ctx.Err(); err != nil {
			return err
		}
		done = max(done, 0.1+0.8*float64(n)/float64(len(queue))) // the queue may grow
		k.progress(done, "leading wires round boxes")
		i := queue[n]
		net := k.plan.Wires[i].Net
		points := k.way(i)
		for _, other := range k.ground.against(net, points) {
			if gone[other]++; gone[other] <= patience {
				k.ground.take(other)
				queue = append(queue, other)
			}
		}
		k.plan.Wires[i].Points = points
		k.ground.lay(i, net, points)
	}
	return nil
}

// sameEnds says that a wire joins the same ports, and that they stand where
// they stood.
func (k *keep) sameEnds(i, old int) bool {
	w, before := k.sheet.wires[i], &k.previous.Wires[old]
	points := before.Points
	for _, end := range []struct {
		terminal int
		at       Point
	}{{w.from, points[0]}, {w.to, points[len(points)-1]}} {
		port := k.port[end.terminal]
		p := &k.plan.Boxes[port.Box].Ports[port.Port]
		if end.at != p.At && !(p.Through && end.at == p.Far) {
			return false
		}
	}
	from, to := &k.previous.Boxes[before.From.Box].Ports[before.From.Port], &k.previous.Boxes[before.To.Box].Ports[before.To.Port]
	return from.Terminal == k.terminals[w.from].Ref() && to.Terminal == k.terminals[w.to].Ref()
}

// bare says that nothing lies on a place.
func (k *keep) bare(r Rect) bool {
	if k.ground.boxes.meets(r) || k.ground.labels.meets(r) {
		return false
	}
	return !k.ground.runs.meets(r)
}

func (k *keep) keepLabel(i int, l Label) {
	l.Wire = i
	k.plan.Labels = append(k.plan.Labels, l)
	k.plan.Wires[i].Label = len(k.plan.Labels) - 1
	k.labelAt[i] = k.ground.labels.add(l.Rect)
	k.nameOf[k.labelAt[i]] = i
}

// ports are the points from which a wire can leave a terminal.
func (k *keep) ports(t int) []reachFrom {
	end := k.port[t]
	p := &k.plan.Boxes[end.Box].Ports[end.Port]
	if p.Side == Inside {
		return nil
	}
	from := []reachFrom{{p.At, p.Side}}
	if p.Through {
		from = append(from, reachFrom{p.Far, Right})
	}
	return from
}

// way leads a wire. Wider windows and finer grids come in turn where the first
// look finds nothing, then names give way; last, the wire may lie on others, and
// at the very last go straight, for a wire that is not drawn is worse.
func (k *keep) way(i int) []Point {
	w := k.sheet.wires[i]
	from, to := k.ports(w.from), k.ports(w.to)
	net := k.plan.Wires[i].Net
	for _, look := range []struct {
		step, margin     float64
		forced, nameless bool
	}{
		{step: Grid, margin: 12 * Grid}, {step: Grid, margin: 60 * Grid}, {step: Grid / 2, margin: 40 * Grid},
		{step: Grid / 2, margin: 40 * Grid, nameless: true}, {step: Grid / 4, margin: 20 * Grid},
		{step: Grid / 2, margin: 40 * Grid, forced: true}, {step: Grid, margin: 100 * Grid, forced: true},
	} {
		if look.nameless {
			k.clearNames(from)
			k.clearNames(to)
		}
		if points, ok := k.ground.lead(net, from, to, look.step, look.margin, look.forced); ok {
			return points
		}
	}
	a, b := from[0].at, to[0].at
	mid := Grid * float64(int((a.X+b.X)/2/Grid))
	return straighten([]Point{a, {mid, a.Y}, {mid, b.Y}, b})
}

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
