package graphs

import (
	"math"
	"slices"

	"bellout/graphs/kit"
)

// variation is a network in which a few things are otherwise. Only what the
// changes and the terminals of interest can touch is worked out anew: of the
// eliminated network that is each touched node's way to the last one of its
// part. Everything else enters as what it leaves behind when eliminated. As
// nothing is subtracted, the answer is as exact as one from nothing, also where
// an only way opens or a megohm takes over from a milliohm.
type variation struct {
	net     *network
	removed map[int32]bool // elements that no longer conduct as the network has them
	added   []resistor     // and what conducts instead or besides
	// piece gives terminals that were split off a group of joined ones a node
	// of their own, numbered from net.nodes.
	piece  map[int32]int32
	pieces int

	local  map[int32]int32 // by node of the network, or piece: its place in small
	dirty  []int32         // positions worked out anew, ascending
	small  *factor
	merged kit.Sets[int32] // of local places, joined by new zero ohms
	nodeOf []int32
}

// resistor is a resistor by the terminals at its ends.
type resistor struct {
	a, b int
	ohms float64
}

// vary works out a network with changes, ready to be asked about the terminals
// of interest and those in the changes.
func (n *network) vary(changes []ElementChange, interest ...int) *variation {
	v := n.begin(changes)
	v.finish(interest)
	return v
}

// begin reads the changes; afterwards node tells which node a terminal is in.
func (n *network) begin(changes []ElementChange) *variation {
	v := &variation{net: n, removed: map[int32]bool{}, piece: map[int32]int32{}, local: map[int32]int32{}}
	v.read(changes)
	v.split()
	v.move()
	return v
}

// finish works out the small network, for these terminals of interest.
func (v *variation) finish(interest []int) {
	v.collect(v.touched(interest))
	v.assemble()
}

// read turns changes into what goes and what comes. Of two changes of one
// element the later one holds.
func (v *variation) read(changes []ElementChange) {
	c := v.net.circuit
	for i, change := range changes {
		if change.Element < 0 {
			if change.A != change.B && !math.IsInf(change.Ohms, 1) {
				v.added = append(v.added, resistor{change.A, change.B, max(0, change.Ohms)})
			}
			continue
		}
		later := slices.ContainsFunc(changes[i+1:], func(other ElementChange) bool { return other.Element == change.Element })
		e := &c.Elements[change.Element]
		now := v.net.conduction.ohms(e)
		if later || now == change.Ohms {
			continue
		}
		if !math.IsInf(now, 1) {
			v.removed[int32(change.Element)] = true
		}
		if !math.IsInf(change.Ohms, 1) && e.A != e.B {
			v.added = append(v.added, resistor{e.A, e.B, max(0, change.Ohms)})
		}
	}
}

// split finds what comes off the groups of joined terminals from which an
// element of no ohms goes. From both ends of each such element a search spreads
// in turns; searches that meet become one, and so do those that a new way of no
// ohms joins; when all but one of a group have run dry, those are the pieces, and
// the rest keeps the group's node. So the price is that of the small pieces.
func (v *variation) split() {
	c := v.net.circuit
	groups := map[int32][]int32{}
	var order []int32
	for _, id := range sortedKeys(v.removed) {
		e := &c.Elements[id]
		if v.net.conduction.ohms(e) != 0 || e.A == e.B {
			continue
		}
		x := v.net.node[e.A]
		if groups[x] == nil {
			order = append(order, x)
		}
		groups[x] = append(groups[x], int32(e.A), int32(e.B))
	}
	if len(order) == 0 {
		return
	}
	owner := v.net.owners.Get().(*[]int32)
	for _, x := range order {
		v.splitGroup(groups[x], *owner)
	}
	v.net.owners.Put(owner)
}

// searches spread through a group of joined terminals, each from its start.
type searches struct {
	reached [][]int32       // by search: the terminals that it found
	next    []int           // of those, the first that it has not gone on from
	same    kit.Sets[int32] // searches that met
	open    []int           // by root in same: how many of its searches go on
	running int             // roots with searches that go on
}

func (s *searches) meet(i, j int32) {
	x, y := s.same.Find(i), s.same.Find(j)
	if x == y {
		return
	}
	s.same.Union(x, y)
	if s.open[x] > 0 && s.open[y] > 0 {
		s.running--
	}
	s.open[s.same.Find(x)] = s.open[x] + s.open[y]
}

// splitGroup gives the pieces of one group nodes of their own. owner is by
// terminal, all zero, and is left so.
func (v *variation) splitGroup(starts []int32, owner []int32) {
	c := v.net.circuit
	slices.Sort(starts)
	starts = slices.Compact(starts)
	s := searches{reached: make([][]int32, len(starts)), next: make([]int, len(starts)), same: kit.NewSets[int32](len(starts)), open: make([]int, len(starts)), running: len(starts)}
	for i, t := range starts {
		owner[t] = int32(i) + 1
		s.reached[i] = []int32{t}
		s.open[i] = 1
	}
	for _, path := range v.added {
		if i, j := owner[path.a], owner[path.b]; path.ohms == 0 && i > 0 && j > 0 {
			s.meet(i-1, j-1)
		}
	}
	for s.running > 1 {
		for i := range starts {
			if s.next[i] == len(s.reached[i]) {
				continue
			}
			t := s.reached[i][s.next[i]]
			s.next[i]++
			for _, id := range c.Incident(int(t)) {
				if v.net.conduction.ohms(&c.Elements[id]) != 0 || v.removed[id] {
					continue
				}
				far := int32(c.Far(int(id), int(t)))
				if other := owner[far]; other > 0 {
					s.meet(int32(i), other-1)
					continue
				}
				owner[far] = int32(i) + 1
				s.reached[i] = append(s.reached[i], far)
			}
			if s.next[i] == len(s.reached[i]) {
				root := s.same.Find(int32(i))
				if s.open[root]--; s.open[root] == 0 {
					s.running--
				}
			}
		}
	}
	rest := int32(-1) // the set that goes on searching keeps the node; if none does, the first
	for i := range starts {
		if s.next[i] < len(s.reached[i]) {
			rest = s.same.Find(int32(i))
		}
	}
	if rest < 0 {
		rest = s.same.Find(0)
	}
	names := map[int32]int32{}
	for i := range starts {
		for _, t := range s.reached[i] {
			owner[t] = 0
		}
		root := s.same.Find(int32(i))
		if root == rest {
			continue
		}
		if _, named := names[root]; !named {
			names[root] = int32(v.net.nodes + v.pieces)
			v.pieces++
		}
		for _, t := range s.reached[i] {
			v.piece[t] = names[root]
		}
	}
}

// move takes the conductors at split-off terminals out of the network and adds
// them between the nodes where they belong now.
func (v *variation) move() {
	c := v.net.circuit
	for _, t := range sortedKeys(v.piece) {
		for _, id := range c.Incident(int(t)) {
			e := &c.Elements[id]
			ohms := v.net.conduction.ohms(e)
			if ohms == 0 || math.IsInf(ohms, 1) || v.removed[id] || e.A == e.B {
				continue
			}
			v.removed[id] = true
			v.added = append(v.added, resistor{e.A, e.B, ohms})
		}
	}
}

// node returns the node of a terminal in the network as changed.
func (v *variation) node(t int) int32 {
	if x, split := v.piece[int32(t)]; split {
		return x
	}
	return v.net.node[t]
}

// touched lists the nodes of the network where something is otherwise or asked
// for.
func (v *variation) touched(interest []int) []int32 {
	var nodes []int32
	add := func(x int32) {
		if int(x) < v.net.nodes {
			nodes = append(nodes, x)
		}
	}
	for _, t := range interest {
		add(v.node(t))
	}
	for _, path := range v.added {
		add(v.node(path.a))
		add(v.node(path.b))
	}
	for _, id := range sortedKeys(v.removed) {
		if at := v.net.conductor[id]; at >= 0 {
			add(v.net.conductors[at].a)
			add(v.net.conductors[at].b)
		}
	}
	return nodes
}

// collect marks every position on the ways of the touched nodes, and gives them
// and the pieces their places. A core is touched as a whole.
func (v *variation) collect(touched []int32) {
	f := v.net.factor()
	wholeCore := false
	seen := map[int32]bool{}
	for _, x := range touched {
		for k := f.place[x]; k >= 0 && !seen[k]; k = f.parent[k] {
			if int(k) >= f.sparse {
				wholeCore = true
				break
			}
			seen[k] = true
			v.dirty = append(v.dirty, k)
		}
	}
	if wholeCore {
		for k := f.sparse; k < len(f.order); k++ {
			v.dirty = append(v.dirty, int32(k))
		}
	}
	slices.Sort(v.dirty)
	for i, k := range v.dirty {
		v.local[f.order[k]] = int32(i)
	}
	for p := range v.pieces {
		v.local[int32(v.net.nodes+p)] = int32(len(v.dirty) + p)
	}
}

// assemble builds and eliminates the small network.
func (v *variation) assemble() {
	f := v.net.factor()
	var list []conductor
	place := func(k int32) int32 { return v.local[f.order[k]] }
	for _, k := range v.dirty {
		for _, child := range f.children[f.childAt[k]:f.childAt[k+1]] {
			if _, anew := v.local[f.order[child]]; anew {
				continue
			}
			f.leaves(child, func(i, j int32, siemens float64) {
				list = append(list, conductor{place(i), place(j), siemens})
			})
		}
		if int(k) >= f.sparse {
			continue
		}
		for at := f.first[k]; at < f.first[k+1]; at++ {
			if id := f.direct[at]; id >= 0 {
				list = append(list, conductor{place(k), place(f.rows[at]), v.siemens(id)})
			}
		}
	}
	if len(v.dirty) > 0 && int(v.dirty[len(v.dirty)-1]) >= f.sparse {
		for _, id := range f.coreEdges {
			c := f.conductors[id]
			list = append(list, conductor{v.local[c.a], v.local[c.b], v.siemens(id)})
		}
	}
	count := len(v.local)
	v.merged = kit.NewSets[int32](count)
	for _, path := range v.added {
		if path.ohms == 0 {
			v.merged.Union(v.local[v.node(path.a)], v.local[v.node(path.b)])
			continue
		}
		list = append(list, conductor{v.local[v.node(path.a)], v.local[v.node(path.b)], 1 / path.ohms})
	}
	v.nodeOf = make([]int32, count)
	nodes := int32(0)
	for x := range v.nodeOf {
		if root := v.merged.Find(int32(x)); root == int32(x) {
			v.nodeOf[x] = nodes
			nodes++
		} else {
			v.nodeOf[x] = v.nodeOf[root]
		}
	}
	kept := list[:0]
	for _, c := range list {
		if c.siemens > 0 {
			kept = append(kept, conductor{v.nodeOf[c.a], v.nodeOf[c.b], c.siemens})
		}
	}
	unique, _ := addParallel(int(nodes), kept)
	v.small = newFactor(int(nodes), unique)
}

// siemens returns what is left of a conductor of the network.
func (v *variation) siemens(id int32) float64 {
	strands := v.net.strands[v.net.strandAt[id]:v.net.strandAt[id+1]]
	sum, all := 0.0, true
	for _, element := range strands {
		if v.removed[element] {
			all = false
		} else {
			sum += 1 / v.net.circuit.Elements[element].Ohms
		}
	}
	if all {
		return v.net.conductors[id].siemens
	}
	return sum
}

// place returns a terminal's node in the small network. The terminal must be of
// interest or in a change.
func (v *variation) place(t int) int32 { return v.nodeOf[v.local[v.node(t)]] }

// ohms returns the resistance between two terminals of interest.
func (v *variation) ohms(a, b int) float64 {
	return v.small.ohms(v.place(a), v.place(b), make([]float64, len(v.small.order)))
}

func sortedKeys[T any](m map[int32]T) []int32 {
	keys := make([]int32, 0, len(m))
	for key := range m {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	return keys
}
