package graphs

import (
	"math"
	"slices"

	"bellout/graphs/kit"
)

// Contingencies is the machine running, each load a resistance, prepared for
// one loss after another: a piece opens, a supply gives nothing. What a loss
// changes is worked out from the currents that the lost pieces carried: they
// are put into the network without those pieces, and only what they can touch
// is eliminated anew. It is for one reader at a time.
type Contingencies struct {
	r      *running
	idle   []int
	whole  *OperatingPoint
	fixed  excited
	shift  excited         // what rails of unknown volts shift; without a network where none are
	source []int           // by place in Parts.Supplies: its element in the networks, or -1
	diodes map[int][]int32 // by terminal: diodes that end there
	on     []int32         // diodes that conduct
	loads  map[int][]int   // by terminal: loads that end there
}

// excited is a network with the volts that its sources give every terminal.
type excited struct {
	net   *network
	volts []float64
	below [][]int32 // by position: those eliminated into it
	ends  [][]int32 // by node: terminals at which loads or diodes end

	now   []standing // by position: what a loss makes of it, where stamp is the loss's
	stamp int32
}

// standing is what a loss makes of a position of an elimination.
type standing struct {
	volts float64
	part  int32
	stamp int32
	leans bool // it, or a later one that those before it may hang on, moved
}

// Contingencies returns the running machine ready for losses; idle are loads, by
// place in Parts.Loads, that are taken to draw nothing. Cost: that of Operate.
func (c *Circuit) Contingencies(idle ...int) *Contingencies {
	r := newRunning(c, LoadsAsResistances, nil, idle...)
	k := &Contingencies{r: r, idle: idle}
	point := r.steady()
	elements := k.elements(point)
	k.findLoads()
	k.fixed = k.excited(elements, point)
	if unknown := r.unknownRails(); len(unknown) > 0 {
		k.shift = k.excited(withSources(elements, unknown), r.shifts(unknown))
	}
	k.whole = r.finish(point)
	return k
}

// Whole returns the operating point with nothing lost.
func (k *Contingencies) Whole() *OperatingPoint { return k.whole }

// elements lists what conducts in the running machine: the circuit's elements
// under their own numbers, then what joins returns and switches drivers on, the
// loads and the sources.
func (k *Contingencies) elements(point *OperatingPoint) []Element {
	r := k.r
	list := slices.Clone(r.c.Elements)
	for id, ohms := range r.ohms {
		list[id].Kind, list[id].Present, list[id].Ohms = Resistance, !math.IsInf(ohms, 1), ohms
	}
	for i, id := range r.diodeAt {
		list[id].Present, list[id].Ohms = r.on[i], onOhms
	}
	add := func(a, b int, ohms float64) {
		list = append(list, Element{Kind: Resistance, Present: true, A: a, B: b, Row: -1, Ohms: ohms})
	}
	for _, s := range r.metal[r.added:] {
		add(s.a, s.b, s.ohms)
	}
	for i := range r.parts.Loads {
		if load := &r.parts.Loads[i]; r.conducts(load) {
			add(load.Feed, load.Returns[0], load.ohms())
		}
	}
	k.source = make([]int, len(r.parts.Supplies))
	for i := range k.source {
		k.source[i] = -1
	}
	for _, s := range r.sources {
		if !slices.Contains(point.Fighting, s.supply) {
			k.source[s.supply] = len(list)
			add(s.rail, s.back, 0)
		}
	}
	return list
}

// withSources adds ideal sources to a list of elements.
func withSources(elements []Element, sources []source) []Element {
	list := slices.Clone(elements)
	for _, s := range sources {
		list = append(list, Element{Kind: Resistance, Present: true, A: s.rail, B: s.back, Row: -1})
	}
	return list
}

func (k *Contingencies) excited(elements []Element, point *OperatingPoint) excited {
	c := k.r.c
	drawn := &Circuit{Machine: c.Machine, Elements: elements, labels: c.labels}
	drawn.index()
	x := excited{net: drawn.network(decided), volts: slices.Clone(point.Volts)}
	for t, volts := range x.volts {
		if math.IsNaN(volts) {
			x.volts[t] = 0 // alone: no current goes there
		}
	}
	k.findEnds(&x)
	return x
}

// findLoads notes which loads and diodes end at a terminal.
func (k *Contingencies) findLoads() {
	k.diodes, k.loads = map[int][]int32{}, map[int][]int{}
	for i, d := range k.r.diodes {
		if k.r.on[i] {
			k.on = append(k.on, int32(i))
		}
		k.diodes[d.a] = append(k.diodes[d.a], int32(i))
		k.diodes[d.b] = append(k.diodes[d.b], int32(i))
	}
	for i, load := range k.r.parts.Loads {
		k.loads[load.Feed] = append(k.loads[load.Feed], i)
		for _, t := range load.Returns {
			k.loads[t] = append(k.loads[t], i)
		}
	}
}

// findEnds notes where a loss is to be looked for.
func (k *Contingencies) findEnds(x *excited) {
	x.ends = make([][]int32, x.net.nodes)
	for t, node := range x.net.node {
		if len(k.diodes[t]) > 0 || len(k.loads[t]) > 0 {
			x.ends[node] = append(x.ends[node], int32(t))
		}
	}
	x.now = make([]standing, x.net.nodes)
	x.below = make([][]int32, x.net.nodes)
	for position, parent := range x.net.factor().parent {
		if parent >= 0 {
			x.below[parent] = append(x.below[parent], int32(position))
		}
	}
}

// Loss is the running machine without some pieces and sources.
type Loss struct {
	k       *Contingencies
	fixed   response
	shift   response
	touched []int
	anew    *OperatingPoint // worked out from nothing, where the rest says nothing
}

// quiet is how many volts count as no change where a loss is looked for.
const quiet = 1e-3

// Lose opens elements of the circuit and takes supplies, by place in
// Parts.Supplies, for no sources. Ideal sources stay as Operate has them;
// diodes turn as the loss makes them. Cost: as a reading of the dead machine,
// tens of microseconds; that of a whole operating point where sources that fought
// may no longer, where one that rested is needed, or where nothing but diodes
// that block ties a part to the rest.
func (k *Contingencies) Lose(elements []int, supplies []int) *Loss {
	var open []ElementChange
	for _, id := range elements {
		open = append(open, ElementChange{Element: id, Ohms: math.Inf(1)})
	}
	changes := slices.Clone(open)
	for _, at := range supplies {
		if id := k.source[at]; id >= 0 {
			changes = append(changes, ElementChange{Element: id, Ohms: math.Inf(1)})
		}
	}
	turned := map[int32]bool{} // diodes that are not as they were
	for round := range diodeRounds {
		if k.fights(changes) {
			break
		}
		l := &Loss{k: k, fixed: k.fixed.respond(k.withDiodes(changes, turned))}
		ends := l.look(&l.fixed, quiet)
		wrong, judged := l.wrongDiodes(ends, turned)
		if !judged {
			break
		}
		if len(wrong) > 0 {
			if round >= diodeRounds/3 {
				wrong = wrong[:1]
			}
			for _, i := range wrong {
				turned[i] = !turned[i]
			}
			continue
		}
		if l.turnsSupplies() {
			break
		}
		if k.shift.net != nil {
			l.shift = k.shift.respond(k.withDiodes(changes, turned))
			ends = append(ends, l.look(&l.shift, shiftStep/8)...)
		}
		for _, t := range ends {
			l.touched = append(l.touched, k.loads[int(t)]...)
		}
		slices.Sort(l.touched)
		l.touched = slices.Compact(l.touched)
		return l
	}
	r := newRunning(k.r.c, LoadsAsResistances, open, k.idle...)
	gone := func(s source) bool { return slices.Contains(supplies, s.supply) }
	r.sources, r.resting = slices.DeleteFunc(r.sources, gone), slices.DeleteFunc(r.resting, gone)
	l := &Loss{k: k, anew: r.settle()}
	for i := range k.r.parts.Loads {
		l.touched = append(l.touched, i)
	}
	return l
}

// withDiodes adds to the changes those of the diodes that turned.
func (k *Contingencies) withDiodes(changes []ElementChange, turned map[int32]bool) []ElementChange {
	list := slices.Clone(changes)
	for _, i := range sortedKeys(turned) {
		switch {
		case !turned[i]:
		case k.r.on[i]:
			list = append(list, ElementChange{Element: k.r.diodeAt[i], Ohms: math.Inf(1)})
		default:
			list = append(list, ElementChange{Element: k.r.diodeAt[i], Ohms: onOhms})
		}
	}
	return list
}

// fights says whether what is lost may decide which of sources that fight are
// left out: it is metal of no ohms joined to them, or one of them.
func (k *Contingencies) fights(changes []ElementChange) bool {
	return slices.ContainsFunc(k.r.sources, func(s source) bool {
		net := k.fixed.net
		return slices.Contains(k.whole.Fighting, s.supply) && slices.ContainsFunc(changes, func(change ElementChange) bool {
			return net.node[net.circuit.Elements[change.Element].A] == net.node[s.rail]
		})
	})
}

// response is what a loss adds to the volts of a network.
type response struct {
	potentials
	of     *excited
	before []float64 // by terminal
	stamp  int32     // of what look found
}

// respond puts what the changed elements carried into the network as changed.
func (x *excited) respond(changes []ElementChange) response {
	v := x.net.begin(changes)
	v.finish(nil)
	p := response{potentials{net: x.net, v: v, small: make([]float64, len(v.small.order)), volts: newPages(x.net.nodes)}, x, x.volts, 0}
	stood := func(t int) int32 { return v.nodeOf[v.local[x.net.node[t]]] } // where a terminal was before pieces came off
	carry := func(a, b int, siemens float64, at func(int) int32) {
		amps := siemens * (x.volts[a] - x.volts[b])
		p.small[at(a)] += amps
		p.small[at(b)] -= amps
	}
	named := map[int32]bool{}
	for _, change := range changes {
		named[int32(change.Element)] = true
		if e := &x.net.circuit.Elements[change.Element]; !math.IsInf(change.Ohms, 1) {
			carry(e.A, e.B, -1/change.Ohms, v.place)
		}
	}
	for _, id := range sortedKeys(v.removed) {
		e := &x.net.circuit.Elements[id]
		if e.Ohms == 0 {
			continue // what it carried is what hangs on the pieces that came off
		}
		if x.net.node[e.A] != x.net.node[e.B] {
			carry(e.A, e.B, 1/e.Ohms, stood)
		}
		if !named[id] { // it moved along with a piece
			carry(e.A, e.B, -1/e.Ohms, v.place)
		}
	}
	p.solve()
	return p
}

// part returns the number of a terminal's connected part after the loss.
func (p *response) part(t int) int32 {
	v, f := p.v, p.net.factor()
	if x, split := v.piece[int32(t)]; split {
		return v.small.part[v.nodeOf[v.local[x]]]
	}
	for k := f.place[p.net.node[t]]; k >= 0; k = f.parent[k] {
		if now := &p.of.now[k]; p.stamp > 0 && now.stamp == p.stamp {
			return now.part
		} else if p.stamp == p.of.stamp && int(k) < f.sparse {
			continue // look noted all that was worked out anew
		}
		if at, anew := v.local[f.order[k]]; anew {
			return v.small.part[v.nodeOf[at]]
		}
		if int(k) >= f.sparse {
			break
		}
	}
	return -1 - f.part[p.net.node[t]] // as it was
}

// between returns the volts from black to red.
func (p *response) between(red, black int) float64 {
	return p.before[red] - p.before[black] + p.at(red) - p.at(black)
}

// Between returns the volts from black to red after the loss; false where
// nothing fixes them.
func (l *Loss) Between(red, black int) (volts float64, known bool) {
	switch {
	case l.anew != nil:
		return l.anew.Between(red, black)
	case red == black:
		return 0, true
	case l.fixed.part(red) != l.fixed.part(black):
		return math.NaN(), false
	case l.shift.net != nil && math.Abs(l.shift.between(red, black)) > shiftStep/2:
		return math.NaN(), false
	}
	return l.fixed.between(red, black), true
}

// Touched returns the loads, by place in Parts.Loads, at whose feed or return the
// loss moves the volts noticeably, or which it cuts off. Sorted.
func (l *Loss) Touched() []int { return l.touched }

// turnsSupplies says whether a resting supply wakes by the loss, or one that woke
// may go to rest again.
func (l *Loss) turnsSupplies() bool {
	p := &l.fixed
	return slices.ContainsFunc(l.k.r.resting, func(s source) bool {
		return s.wakes(p.between(s.rail, s.back), p.part(s.rail) == p.part(s.back))
	}) || slices.ContainsFunc(l.k.r.woken, func(s source) bool { return p.part(s.rail) >= 0 }) // a part that is touched
}

// look lists the terminals at which loads or diodes end and whose volts the loss
// moves, or that it cuts from the rest of their part.
func (l *Loss) look(p *response, quiet float64) []int32 {
	x, v, f := p.of, p.v, p.net.factor()
	var found []int32
	for _, t := range sortedKeys(v.piece) {
		if len(l.k.diodes[int(t)]) > 0 || len(l.k.loads[int(t)]) > 0 {
			found = append(found, t)
		}
	}
	x.stamp++
	p.stamp = x.stamp
	rest := map[int32]standing{} // by part before the loss: how its last node stands
	for i, k := range v.dirty {
		at := v.nodeOf[i]
		x.now[k] = standing{p.small[at], v.small.part[at], x.stamp, false}
		rest[f.part[f.order[k]]] = x.now[k]
	}
	// settle says whether a position's node moved.
	settle := func(k int32) (moved bool) {
		s, r := &x.now[k], rest[f.part[f.order[k]]]
		moved = s.part != r.part || math.Abs(s.volts-r.volts) >= quiet
		s.leans = moved
		if int(k) < f.sparse {
			for _, up := range f.rows[f.first[k]:f.first[k+1]] {
				s.leans = s.leans || x.now[up].leans
			}
		} else {
			s.leans = true // in a core everything leans on everything
		}
		return moved
	}
	stack := make([]int32, 0, 2*len(v.dirty))
	for _, k := range slices.Backward(v.dirty) {
		if settle(k) {
			found = append(found, x.ends[f.order[k]]...)
		}
		stack = append(stack, k)
	}
	for len(stack) > 0 {
		k := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if !x.now[k].leans {
			continue
		}
		for _, child := range x.below[k] {
			if x.now[child].stamp == x.stamp {
				continue
			}
			volts := p.inherited(child)
			p.volts.set(child, volts)
			x.now[child] = standing{volts, x.now[k].part, x.stamp, false}
			if settle(child) {
				found = append(found, x.ends[f.order[child]]...)
			}
			stack = append(stack, child)
		}
	}
	slices.Sort(found)
	return slices.Compact(found)
}

// wrongDiodes lists the diodes that the loss turns round; false where one that
// blocks is all that leads from a part to the rest.
func (l *Loss) wrongDiodes(ends []int32, turned map[int32]bool) (wrong []int32, judged bool) {
	r, p := l.k.r, &l.fixed
	for _, i := range append(sortedKeys(turned), l.k.on...) {
		d := r.diodes[i]
		if r.on[i] != turned[i] && p.between(d.a, d.b) < -diodeSlack && p.part(d.a) == p.part(d.b) {
			wrong = append(wrong, i)
		}
	}
	part := p.net.parts()
	for _, t := range ends {
		for _, i := range l.k.diodes[int(t)] {
			d := r.diodes[i]
			switch {
			case r.on[i] != turned[i] || part[p.net.node[d.a]] != part[p.net.node[d.b]]:
			case p.part(d.a) != p.part(d.b):
				return nil, false
			case p.between(d.a, d.b) > 100*diodeSlack:
				wrong = append(wrong, i)
			}
		}
	}
	slices.Sort(wrong)
	return slices.Compact(wrong), true
}

// Chains puts elements that follow one another with nothing else between them
// into one list: the loss of one is the loss of any. Cost: linear.
func (k *Contingencies) Chains(elements []int) [][]int {
	drawn := k.fixed.net.circuit
	if k.shift.net != nil {
		drawn = k.shift.net.circuit // with every source
	}
	asked := map[int32]int{}
	for i, id := range elements {
		asked[int32(id)] = i
	}
	joined := kit.NewSets[int32](len(elements))
	for _, id := range elements {
		for _, t := range [2]int{drawn.Elements[id].A, drawn.Elements[id].B} {
			var ends []int32 // places in elements of what conducts there
			alone := len(k.loads[t]) == 0 && len(k.diodes[t]) == 0 &&
				!slices.ContainsFunc(k.r.resting, func(s source) bool { return s.rail == t || s.back == t })
			for _, other := range drawn.Incident(t) {
				if drawn.Elements[other].Present {
					i, known := asked[other]
					alone = alone && known
					ends = append(ends, int32(i))
				}
			}
			if alone && len(ends) == 2 {
				joined.Union(ends[0], ends[1])
			}
		}
	}
	var chains [][]int
	place := map[int32]int{}
	for i, id := range elements {
		root := joined.Find(int32(i))
		if _, begun := place[root]; !begun {
			place[root] = len(chains)
			chains = append(chains, nil)
		}
		chains[place[root]] = append(chains[place[root]], id)
	}
	return chains
}
