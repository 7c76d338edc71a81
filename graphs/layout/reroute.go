package layout

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
