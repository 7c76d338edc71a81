package faults

import (
	"fmt"
	"slices"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/graphs/kit"
	"bellout/model"
)

var ruleGroundLoop = Rule{
	Name:  "ground-loop",
	Title: "Returns, or returns and earth, joined by more than one way round",
	Why: "A ring of returns picks up hum and shares heavy current in a way that nobody chose, and it hides a broken wire: " +
		"everything still reads as joined. 0 V belongs on one star, and on earth at one place at most. Two wires side by side " +
		"between the same devices only double each other, which is a note; rings of earth wires alone are good practice, and so are the two ways home of a strip that is fed at both ends.",
	Check: checkGroundLoop,
}

func checkGroundLoop(b *Analysis) []Finding {
	ring := b.groundRing()
	var list []Finding
	for _, loop := range ring.loops() {
		if finding, found := b.groundLoop(ring, loop); found {
			list = append(list, finding)
		}
	}
	sortFindings(list)
	return append(list, b.explained["ground-loop"]...)
}

// ring is the ground side of the machine with every device drawn together: what
// a device joins inside, by its links or because its returns are of one section,
// is one node, and the wires are the edges. A ring of jumpers inside one block
// is no loop.
type ring struct {
	b     *Analysis
	nodes []int32 // by terminal
	wires []int   // elements that may lie on a loop
	first map[int32]int

	onReturn []bool         // by terminal: it lies on the return side, not on that of earth
	returns  map[int32]bool // by node: one of its terminals does
}

func (b *Analysis) groundRing() *ring {
	r := &ring{b: b, first: map[int32]int{}}
	nodes := label(b.AsIntended, func(_ int, e graphs.Element) bool { return e.Joins() && e.Kind != graphs.Wire })
	count := int32(0)
	for _, node := range nodes {
		count = max(count, node+1)
	}
	sets := kit.NewSets[int32](int(count))
	sections := map[section]int{}
	for t := range nodes {
		if b.role(t) != model.RoleReturn || !b.grounded(b.NetOf(t)) {
			continue
		}
		if earlier, found := sections[b.section(t)]; found {
			sets.Union(nodes[earlier], nodes[t])
		} else {
			sections[b.section(t)] = t
		}
	}
	for t := range nodes {
		nodes[t] = sets.Find(nodes[t])
	}
	r.nodes = nodes
	r.findReturns()
	for id, e := range b.AsIntended.Elements {
		if e.Kind == graphs.Wire && e.Present && nodes[e.A] != nodes[e.B] && b.grounded(b.NetOf(e.A)) {
			r.wires = append(r.wires, id)
		}
	}
	r.trim()
	return r
}

// grounded says whether a net is a return's or earth.
func (b *Analysis) grounded(net int) bool {
	return len(b.groundsAt[net]) > 0 || b.AsIntended.Nets().List[net].Kind == graphs.NetEarth
}

// trim leaves out wires that lead to ends: what hangs on one wire lies on no
// loop. Cost: linear.
func (r *ring) trim() {
	at := map[int32][]int{}
	degree := map[int32]int{}
	for _, id := range r.wires {
		e := r.b.AsIntended.Elements[id]
		for _, node := range [2]int32{r.nodes[e.A], r.nodes[e.B]} {
			at[node] = append(at[node], id)
			degree[node]++
		}
	}
	var ends []int32
	for node, count := range degree {
		if count == 1 {
			ends = append(ends, node)
		}
	}
	gone := map[int]bool{}
	for len(ends) > 0 {
		node := ends[len(ends)-1]
		ends = ends[:len(ends)-1]
		for _, id := range at[node] {
			if gone[id] {
				continue
			}
			gone[id] = true
			e := r.b.AsIntended.Elements[id]
			for _, other := range [2]int32{r.nodes[e.A], r.nodes[e.B]} {
				if degree[other]--; degree[other] == 1 {
					ends = append(ends, other)
				}
			}
		}
	}
	r.wires = slices.DeleteFunc(r.wires, func(id int) bool { return gone[id] })
}

// loops returns independent loops of the ring, the shortest first: the wires of
// each in order round. The work is done by the circuit of a machine in which
// each node is one terminal.
func (r *ring) loops() [][]int {
	if len(r.wires) == 0 {
		return nil
	}
	b := r.b
	for _, id := range r.wires {
		e := b.AsIntended.Elements[id]
		for _, t := range [2]int{e.A, e.B} {
			if known, found := r.first[r.nodes[t]]; !found || b.compareTerminals(t, known) < 0 {
				r.first[r.nodes[t]] = t
			}
		}
	}
	drawn := model.NewMachine()
	var edit model.Edit
	devices := map[string]bool{}
	for _, t := range r.first {
		terminal := b.Machine.Terminals[t]
		if !devices[terminal.Device] {
			devices[terminal.Device] = true
			edit.Changes = append(edit.Changes, model.Change{After: model.Device{Ref: terminal.Device, Health: model.HealthUnknown}})
		}
		edit.Changes = append(edit.Changes, model.Change{After: terminal})
	}
	for _, id := range r.wires {
		e := b.AsIntended.Elements[id]
		wire := b.Machine.Wires[e.Row]
		wire.From, wire.To = b.AsDrawn.Ref(r.first[r.nodes[e.A]]), b.AsDrawn.Ref(r.first[r.nodes[e.B]])
		edit.Changes = append(edit.Changes, model.Change{After: wire})
	}
	if err := drawn.Apply(edit); err != nil {
		panic(fmt.Sprintf("ground ring: %v", err)) // rows of a sound machine, joined: a mistake of ours
	}
	circuit := graphs.NewCircuit(drawn, nil)
	var list [][]int
	for _, loop := range circuit.Loops(func(graphs.Element) bool { return true }) {
		wires := make([]int, len(loop.Elements))
		for at, id := range loop.Elements {
			row, _ := b.Machine.WireIndex(drawn.Wires[circuit.Elements[id].Row].Name)
			wires[at] = row // elements of wires come first, in the order of Machine.Wires
		}
		list = append(list, wires)
	}
	return list
}

// groundLoop describes a loop, given by its wires in order round; a ring of
// earth wires alone is none, nor the returns of what is fed at both ends.
func (b *Analysis) groundLoop(r *ring, wires []int) (Finding, bool) {
	if r.earthAlone(wires) || r.doublesFeeds(wires) {
		return Finding{}, false
	}
	severity := Warning
	if b.sideBySide(wires) {
		severity = Note
	}
	// One bond to earth is too many, not the returns that it joins; where a device
	// bonds the two inside, one of its returns. A protective conductor, with both
	// its ends on the side of earth, never.
	suspected := r.leaving(wires)
	if len(suspected) == 0 {
		suspected = slices.DeleteFunc(slices.Clone(wires), func(id int) bool {
			e := b.AsIntended.Elements[id]
			return !r.onReturn[e.A] && !r.onReturn[e.B]
		})
	}
	if len(suspected) == 0 {
		suspected = wires
	}
	culprit := b.oddestOf(suspected)
	at := slices.Index(wires, culprit)
	round := slices.Concat(wires[at:], wires[:at])
	d := b.draft("ground-loop", severity).blame(round...)
	var devices []string
	for _, id := range round {
		e := b.AsIntended.Elements[id]
		devices = append(devices, b.device(e.A), b.device(e.B))
		d.nets(e.A)
	}
	e := b.AsIntended.Elements[culprit]
	d.blameTerminals(e.A, e.B).devices(devices...)
	names := make([]string, len(round))
	for i, id := range round {
		names[i] = b.elementName(id)
	}
	devices = inOrder(nil, devices)
	d.headed("%s closes a ground loop", b.elementName(culprit))
	if severity == Note {
		d.headed("%s run side by side", judge.ListText(names, 3))
		message := fmt.Sprintf("Wires %s run side by side between %s: if one of them opens, nothing shows it.", judge.ListText(names, 6), judge.ListText(devices, 4))
		advice := "If they are meant to double each other, leave them, and lift one end of each before you ring it out. If not, take one out."
		if slices.ContainsFunc(round, b.kept.Element) {
			advice = "If they are meant to double each other, leave them as they are: no reading tells one from the other in place. " + b.liftText(slices.DeleteFunc(slices.Clone(round), func(id int) bool { return !b.kept.Element(id) }), "")
		}
		return d.say(1, message, advice), true
	}
	what := "Returns are joined by two ways round"
	if r.withEarth(wires) {
		what = "Return and earth are joined by two ways round"
	}
	message := fmt.Sprintf("%s: %s, through %s. Opening one of them leaves everything joined; %s is the likeliest to be one too many.",
		what, judge.ListText(names, 10), judge.ListText(devices, 8), b.elementName(culprit))
	advice := fmt.Sprintf("All power off, signal and USB leads out: lift one end of %s and read across the gap: a beep proves the other way round. "+
		"Keep the way that goes to the star and take the other out, unless it is a bond or a screen that somebody meant.", b.elementName(culprit))
	if b.kept.Element(culprit) {
		advice = "Plug out, signal and USB leads out. " + b.liftText([]int{culprit}, "")
	}
	if r.withEarth(wires) {
		advice += " 0 V and earth belong together at one place at most; the supplies' manuals and local rules say whether and where."
	}
	return d.say(1, message, advice), true
}

// earthAlone says whether a loop runs over earth only and touches no return.
func (r *ring) earthAlone(wires []int) bool {
	return !slices.ContainsFunc(wires, func(id int) bool {
		e := r.b.AsIntended.Elements[id]
		return r.returns[r.nodes[e.A]] || r.returns[r.nodes[e.B]]
	})
}

// doublesFeeds says whether a loop is the two ways home of loads that are fed at
// both ends, such as a strip: what goes out by two ways comes back by two, and
// nobody else's current or 0 V hangs on the ring but where it begins.
func (r *ring) doublesFeeds(wires []int) bool {
	b := r.b
	on := map[int32]bool{}
	inLoop := map[int]bool{}
	for _, id := range wires {
		e := b.AsIntended.Elements[id]
		on[r.nodes[e.A]], on[r.nodes[e.B]], inLoop[id] = true, true, true
	}
	begins := map[int32]bool{} // nodes with wires that lead elsewhere
	fed := map[string]bool{}   // devices whose return is on the ring
	at := map[int32]string{}   // by node: such a device
	for t, node := range r.nodes {
		if !on[node] {
			continue
		}
		for _, id := range b.AsIntended.Incident(t) {
			if e := b.AsIntended.Elements[id]; e.Kind == graphs.Wire && e.Present && !inLoop[int(id)] {
				begins[node] = true
			}
		}
		if b.role(t) != model.RoleReturn {
			continue
		}
		if other, known := at[node]; known && other != b.device(t) || b.groundAt[t] >= 0 {
			begins[node] = true
		}
		at[node] = b.device(t)
	}
	for node, device := range at {
		if !begins[node] {
			fed[device] = true
		}
	}
	return len(begins) <= 1 && len(fed) > 0 && !slices.ContainsFunc(sortedKeys(fed), func(device string) bool { return !b.fedTwice(device) })
}

// fedTwice says whether several wired feeds of a device stand on one net.
func (b *Analysis) fedTwice(device string) bool {
	var feeds []int
	for _, i := range b.loadsOf(device) {
		if feed := b.Parts.Loads[i].Feed; b.wired(feed) {
			feeds = append(feeds, feed)
		}
	}
	return len(feeds) > 1 && !slices.ContainsFunc(feeds, func(t int) bool { return b.NetOf(t) != b.NetOf(feeds[0]) })
}

// findReturns marks the nodes on the return side: what a return reaches without
// a green-yellow wire and without stepping on an earth terminal. A bond from 0 V
// to earth ends it, whichever colour the bond has.
func (r *ring) findReturns() {
	b := r.b
	side := label(b.AsIntended, func(_ int, e graphs.Element) bool {
		if !e.Joins() || b.role(e.A) == model.RoleEarth || b.role(e.B) == model.RoleEarth {
			return false
		}
		return e.Kind != graphs.Wire || b.Machine.Wires[e.Row].Colour != model.GreenYellow
	})
	reached := map[int32]bool{}
	for t := range side {
		if b.role(t) == model.RoleReturn {
			reached[side[t]] = true
		}
	}
	r.returns, r.onReturn = map[int32]bool{}, make([]bool, len(side))
	for t := range side {
		if r.onReturn[t] = reached[side[t]]; r.onReturn[t] {
			r.returns[r.nodes[t]] = true
		}
	}
}

// leaving returns the wires of a loop that have one end on the return side and
// the other on that of earth.
func (r *ring) leaving(wires []int) []int {
	var list []int
	for _, id := range wires {
		e := r.b.AsIntended.Elements[id]
		if r.onReturn[e.A] != r.onReturn[e.B] {
			list = append(list, id)
		}
	}
	return list
}

// withEarth says whether a loop touches the side of earth.
func (r *ring) withEarth(wires []int) bool {
	return slices.ContainsFunc(wires, func(id int) bool {
		e := r.b.AsIntended.Elements[id]
		return !r.onReturn[e.A] || !r.onReturn[e.B]
	})
}

// sideBySide says whether a loop goes out and comes back through the same
// devices: each pair of devices that a wire of it joins is joined twice.
func (b *Analysis) sideBySide(wires []int) bool {
	type pair struct{ one, other string }
	counts := map[pair]int{}
	for _, id := range wires {
		e := b.AsIntended.Elements[id]
		p := pair{b.device(e.A), b.device(e.B)}
		if p.other < p.one {
			p.one, p.other = p.other, p.one
		}
		counts[p]++
	}
	for _, count := range counts {
		if count < 2 {
			return false
		}
	}
	return true
}

// oddestOf returns the likeliest of some wires to be one too many: of another
// colour than most of them, then by how the map knows of it, then the one named
// last.
func (b *Analysis) oddestOf(wires []int) int {
	counts := map[model.Colour]int{}
	for _, id := range wires {
		if colour := b.Machine.Wires[b.AsIntended.Elements[id].Row].Colour; colour != "" {
			counts[colour]++
		}
	}
	usual, known := mostOf(counts)
	odd := func(id int) bool {
		colour := b.Machine.Wires[b.AsIntended.Elements[id].Row].Colour
		return known && counts[usual] > 1 && colour != usual && colour != ""
	}
	return slices.MinFunc(wires, func(x, y int) int {
		if odd(x) != odd(y) {
			if odd(x) {
				return -1
			}
			return 1
		}
		return b.compareOddness(x, y)
	})
}
