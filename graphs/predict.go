package graphs

import (
	"math"
	"slices"

	"bellout/graphs/kit"
)

// Prediction is what an ideal meter with ideal leads would show between two
// terminals of the de-energised circuit.
type Prediction struct {
	// Ohms counts every undecided element as open; +Inf if nothing joins them.
	Ohms float64
	// LeastOhms counts every undecided element (electronic, capacitance, a diode
	// in its forward way) as metal: the meter shows something from LeastOhms to
	// Ohms. Where they are equal, nothing undecided can matter.
	LeastOhms float64
}

// Predict returns what the meter would show with red and black on two
// terminals. Red is positive: a diode conducts when red is on its anode's side.
// Cost: as Ohms; where something undecided lies in the same part of the circuit
// the circuit with the undecided as metal is eliminated too, once.
func (c *Circuit) Predict(red, black int) Prediction { return c.PredictIf(red, black, nil) }

// PredictIf returns what the meter would show if the changes held. An undecided
// element that a change gives ohms is decided by it.
//
// LeastOhms is the least that any state of the undecided elements can give.
// Diodes need their forward voltage: where the rest of the circuit, electronic
// links and capacitances as metal, reads less than diodeHiddenOhms, no diode can
// matter, as a coil hides the diode across it. Above that diodes are ideal: the
// least loss over all flows from red to black that run through diodes forwards
// only, found by trying their states, with a millionth of an ohm for one that
// conducts. With more than diodeLimit diodes in play, all are taken as metal
// either way, which may be too low but is never too high.
func (c *Circuit) PredictIf(red, black int, changes []ElementChange) Prediction {
	ohms := c.OhmsIf(red, black, changes)
	if ohms == 0 || !c.undecided().near(red, changes) {
		return Prediction{Ohms: ohms, LeastOhms: ohms}
	}
	return Prediction{Ohms: ohms, LeastOhms: min(ohms, c.leastOhms(red, black, changes))}
}

// diodeHiddenOhms is where a meter's current no longer gives a diode its forward
// voltage: 0.15 V, the least of a Schottky diode (common practice), at 1 mA, what
// hand-held meters drive (meter manuals), with a margin.
const diodeHiddenOhms = 100

// diodeLimit is the most diodes, parallel ones counted once, whose states are
// tried for one prediction.
const diodeLimit = 96

// doubts are the undecided elements of a circuit.
type doubts struct {
	c      *Circuit
	part   []int32 // by terminal, joined by anything present
	inPart map[int32]bool
	diodes []int32 // present ones
}

func findDoubts(c *Circuit) *doubts {
	d := &doubts{c: c, inPart: map[int32]bool{}}
	joined := kit.NewSets[int32](len(c.Machine.Terminals))
	for id := range c.Elements {
		if e := &c.Elements[id]; e.Present {
			joined.Union(int32(e.A), int32(e.B))
		}
	}
	d.part = make([]int32, len(joined))
	for t := range joined {
		d.part[t] = joined.Find(int32(t))
	}
	for id := range c.Elements {
		e := &c.Elements[id]
		if !e.Present || e.Kind.Metal() || e.Kind == Resistance {
			continue
		}
		d.inPart[d.part[e.A]] = true
		if e.Kind == Diode {
			d.diodes = append(d.diodes, int32(id))
		}
	}
	return d
}

// near says whether anything undecided is in the part of a terminal, joined to
// others as the changes say.
func (d *doubts) near(t int, changes []ElementChange) bool {
	if len(d.inPart) == 0 {
		return false
	}
	reached := map[int32]bool{d.part[t]: true}
	for grown := true; grown; {
		grown = false
		for _, change := range changes {
			a, b := change.A, change.B
			if change.Element >= 0 {
				a, b = d.c.Elements[change.Element].A, d.c.Elements[change.Element].B
			}
			if math.IsInf(change.Ohms, 1) || reached[d.part[a]] == reached[d.part[b]] {
				continue
			}
			reached[d.part[a]], reached[d.part[b]] = true, true
			grown = true
		}
	}
	for part := range reached {
		if d.inPart[part] {
			return true
		}
	}
	return false
}

// leastOhms counts electronic links and capacitances as metal, and diodes as
// they would conduct.
func (c *Circuit) leastOhms(red, black int, changes []ElementChange) float64 {
	n := c.network(undecidedAsMetal)
	if len(changes) == 0 && n.node[red] == n.node[black] {
		return 0
	}
	if hidden := n.ohmsIf(red, black, changes); hidden < diodeHiddenOhms || len(c.undecided().diodes) == 0 {
		return hidden
	}
	v := n.begin(changes)
	diodes := c.diodesInPlay(v, red, black, changes)
	if len(diodes) > diodeLimit {
		return c.network(allAsMetal).ohmsIf(red, black, changes)
	}
	interest := []int{red, black}
	for _, d := range diodes {
		interest = append(interest, d.a, d.b)
	}
	v.finish(interest)
	return v.withDiodes(red, black, diodes)
}

// diodesInPlay lists the diodes that a current from red to black can pass
// forwards, one of each parallel group. Terminals that something not a diode
// joins count as one place here.
func (c *Circuit) diodesInPlay(v *variation, red, black int, changes []ElementChange) []resistor {
	decidedBy := map[int32]bool{}
	for _, change := range changes {
		decidedBy[int32(change.Element)] = true
	}
	var all []resistor
	seen := map[[2]int32]bool{}
	for _, id := range c.undecided().diodes {
		e := &c.Elements[id]
		a, b := v.node(e.A), v.node(e.B)
		if decidedBy[id] || a == b || seen[[2]int32{a, b}] {
			continue
		}
		seen[[2]int32{a, b}] = true
		all = append(all, resistor{a: e.A, b: e.B})
	}
	if len(all) == 0 {
		return nil
	}
	place := v.places()
	forward := reach(place(red), all, func(d resistor) (from, to int32) { return place(d.a), place(d.b) })
	back := reach(place(black), all, func(d resistor) (from, to int32) { return place(d.b), place(d.a) })
	return slices.DeleteFunc(all, func(d resistor) bool { return !forward[place(d.a)] || !back[place(d.b)] })
}

// places returns which terminals are joined by anything but a diode: by parts
// of the network, and by what the changes add. What they open is not looked at:
// it can only rule out more.
func (v *variation) places() func(t int) int32 {
	part := v.net.parts()
	up := map[int32]int32{}
	find := func(x int32) int32 {
		for {
			next, joined := up[x]
			if !joined {
				return x
			}
			x = next
		}
	}
	place := func(t int) int32 { return find(part[v.net.node[t]]) }
	for _, path := range v.added {
		if a, b := place(path.a), place(path.b); a != b {
			up[a] = b
		}
	}
	return place
}

// reach returns the places that diodes lead to from start.
func reach(start int32, diodes []resistor, ends func(resistor) (from, to int32)) map[int32]bool {
	reached := map[int32]bool{start: true}
	for grown := true; grown; {
		grown = false
		for _, d := range diodes {
			if from, to := ends(d); reached[from] && !reached[to] {
				reached[to], grown = true, true
			}
		}
	}
	return reached
}

// withDiodes returns the resistance of the small network with its diodes as
// they conduct when a current goes in at red and out at black.
func (v *variation) withDiodes(red, black int, diodes []resistor) float64 {
	a, b := v.place(red), v.place(black)
	open := v.small.ohms(a, b, make([]float64, len(v.small.order)))
	if len(diodes) == 0 || open == 0 {
		return open
	}
	on := make([]bool, len(diodes))
	for i := range on {
		on[i] = true
	}
	for round := range diodeRounds {
		f := v.joinedBy(diodes, func(i int) float64 {
			if on[i] {
				return onOhms
			}
			return offOhms // what hangs behind blocked diodes only gets a voltage by this
		})
		if f.part[a] != f.part[b] {
			return open
		}
		volts := make([]float64, len(f.order))
		volts[a], volts[b] = 1, -1
		f.solve(volts)
		slack := diodeSlack * (1 + volts[a] - volts[b])
		wrong := 0
		for i, d := range diodes {
			if drop := volts[v.place(d.a)] - volts[v.place(d.b)]; on[i] && drop < -slack || !on[i] && drop > slack {
				if wrong == 0 || round < diodeRounds/2 {
					on[i] = !on[i]
				}
				wrong++
			}
		}
		if wrong == 0 {
			return v.conducting(red, black, diodes, on, open)
		}
	}
	return 0 // no state found: claim nothing
}

// conducting returns the resistance with the diodes that are on, or open if
// they join nothing.
func (v *variation) conducting(red, black int, diodes []resistor, on []bool, open float64) float64 {
	count := 0
	f := v.joinedBy(diodes, func(i int) float64 {
		if on[i] {
			count++
			return onOhms
		}
		return math.Inf(1)
	})
	ohms := f.ohms(v.place(red), v.place(black), make([]float64, len(f.order)))
	if ohms <= 2*onOhms*float64(count) {
		return 0 // nothing but diodes and metal
	}
	return min(open, ohms)
}

// joinedBy returns the small network with each diode as a resistor.
func (v *variation) joinedBy(diodes []resistor, ohms func(i int) float64) *factor {
	n := len(v.small.order)
	list := slices.Clone(v.small.conductors)
	for i, d := range diodes {
		if siemens := 1 / ohms(i); siemens > 0 {
			list = append(list, conductor{v.place(d.a), v.place(d.b), siemens})
		}
	}
	unique, _ := addParallel(n, list)
	return newFactor(n, unique)
}
