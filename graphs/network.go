package graphs

import (
	"math"
	"sync"

	"bellout/graphs/kit"
)

// conduction says which elements of a circuit conduct in a network, and with
// how many ohms.
type conduction uint8

const (
	// decided counts metal and resistances: what an ohmmeter surely sees.
	decided conduction = iota
	// undecidedAsMetal counts electronic links and capacitances as metal besides.
	// Diodes are open in it: whoever asks adds those that matter.
	undecidedAsMetal
	// allAsMetal counts diodes as metal too, whichever way.
	allAsMetal
	conductions
)

// ohms returns an element's resistance in the network; +Inf if it does not
// conduct.
func (w conduction) ohms(e *Element) float64 {
	switch {
	case !e.Present:
		return math.Inf(1)
	case e.Kind.Metal() || e.Kind == Resistance:
		return e.Ohms
	case w == decided || w == undecidedAsMetal && e.Kind == Diode:
		return math.Inf(1)
	default:
		return 0
	}
}

// network is a circuit with each group of terminals that zero ohms join drawn
// as one node, and the elements that join the same two nodes as one conductor.
type network struct {
	circuit    *Circuit
	conduction conduction
	node       []int32 // by terminal
	nodes      int
	conductors []conductor
	conductor  []int32 // by element: its place in conductors, or -1
	strandAt   []int32 // strands[strandAt[i]:strandAt[i+1]]: the elements of conductor i
	strands    []int32

	factored sync.Once
	kept     *factor
	pool     sync.Pool // of *[]float64, as long as the network, all zero
	owners   sync.Pool // of *[]int32, by terminal, all zero
}

// newNetwork costs time linear in terminals and elements; nothing is factored
// yet.
func newNetwork(c *Circuit, conducts conduction) *network {
	n := &network{circuit: c, conduction: conducts}
	joined := kit.NewSets[int32](len(c.Machine.Terminals))
	for id := range c.Elements {
		if e := &c.Elements[id]; conducts.ohms(e) == 0 {
			joined.Union(int32(e.A), int32(e.B))
		}
	}
	n.number(joined)
	var all []conductor
	var ids []int32
	n.conductor = make([]int32, len(c.Elements))
	for id := range c.Elements {
		e := &c.Elements[id]
		n.conductor[id] = -1
		ohms := conducts.ohms(e)
		a, b := n.node[e.A], n.node[e.B]
		if ohms == 0 || math.IsInf(ohms, 1) || a == b {
			continue
		}
		all = append(all, conductor{a, b, 1 / ohms})
		ids = append(ids, int32(id))
	}
	var into []int32
	n.conductors, into = addParallel(n.nodes, all)
	n.strandAt = make([]int32, len(n.conductors)+1)
	for _, at := range into {
		n.strandAt[at+1]++
	}
	for at := range n.conductors {
		n.strandAt[at+1] += n.strandAt[at]
	}
	n.strands = make([]int32, len(ids))
	next := append([]int32(nil), n.strandAt...)
	for i, at := range into {
		n.conductor[ids[i]] = at
		n.strands[next[at]] = ids[i]
		next[at]++
	}
	n.pool.New = func() any {
		scratch := make([]float64, n.nodes)
		return &scratch
	}
	n.owners.New = func() any {
		owner := make([]int32, len(c.Machine.Terminals))
		return &owner
	}
	return n
}

// number gives each set of joined terminals the next number.
func (n *network) number(joined kit.Sets[int32]) {
	n.node = make([]int32, len(joined))
	for t := range joined { // a root is the least of its set
		if root := joined.Find(int32(t)); root == int32(t) {
			n.node[t] = int32(n.nodes)
			n.nodes++
		} else {
			n.node[t] = n.node[root]
		}
	}
}

// factor eliminates the network once; readers side by side wait for it.
func (n *network) factor() *factor {
	n.factored.Do(func() { n.kept = newFactor(n.nodes, n.conductors) })
	return n.kept
}

// parts numbers the connected parts, by node.
func (n *network) parts() []int32 { return n.factor().part }

// ohms returns the resistance between two terminals.
func (n *network) ohms(a, b int) float64 {
	x, y := n.node[a], n.node[b]
	if x == y {
		return 0
	}
	f := n.factor()
	scratch := n.pool.Get().(*[]float64)
	defer n.pool.Put(scratch)
	return f.ohms(x, y, *scratch)
}

// solver holds what a circuit computed once for resistance.
type solver struct {
	networks [conductions]struct {
		once sync.Once
		made *network
	}
	doubted sync.Once
	doubts  *doubts
	blocked sync.Once
	blocks  *Blocks
}

// undecided returns the circuit's undecided elements, found once.
func (c *Circuit) undecided() *doubts {
	c.solver.doubted.Do(func() { c.solver.doubts = findDoubts(c) })
	return c.solver.doubts
}

// network returns the circuit's network of that kind, made once.
func (c *Circuit) network(conducts conduction) *network {
	slot := &c.solver.networks[conducts]
	slot.once.Do(func() { slot.made = newNetwork(c, conducts) })
	return slot.made
}
