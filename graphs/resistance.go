package graphs

import "math"

// ElementChange is one thing that could be otherwise in a circuit. With
// Element >= 0 that element has Ohms instead (+Inf: it is open; a finite value
// also makes an absent one conduct). With Element < 0 a path of Ohms joins
// terminals A and B.
type ElementChange struct {
	Element int
	A, B    int
	Ohms    float64
}

// Ohms returns the resistance in ohms that an ideal meter shows between
// terminals a and b of the de-energised circuit; 0 for a == b, +Inf if nothing
// joins them.
func (c *Circuit) Ohms(a, b int) float64 { return c.network(decided).ohms(a, b) }

// OhmsIf returns the resistance between a and b if the changes held, as exactly
// as if the circuit had been made so. Cost: for a few changes that of the ways
// from what they touch to the end of the elimination, some tens of microseconds
// in wiring of any size; the circuit itself is eliminated once. One change of an
// element that is the only way between its ends costs no more than Ohms, however
// much hangs on either side.
func (c *Circuit) OhmsIf(a, b int, changes []ElementChange) float64 {
	if len(changes) == 1 && changes[0].Element >= 0 {
		if ohms, isBridge := c.ohmsIfBridge(a, b, changes[0]); isBridge {
			return ohms
		}
	}
	return c.network(decided).ohmsIf(a, b, changes)
}

// ohmsIfBridge is OhmsIf where what changes carries either all the current of the
// meter or none: an element that is the only way between its ends.
func (c *Circuit) ohmsIfBridge(a, b int, change ElementChange) (ohms float64, isBridge bool) {
	blocks := c.blocks()
	now := decided.ohms(&c.Elements[change.Element])
	switch {
	case !blocks.Bridge(change.Element):
		return 0, false
	case !blocks.Parts(change.Element, a, b):
		return c.Ohms(a, b), true
	case math.IsInf(change.Ohms, 1):
		return change.Ohms, true
	case now == 0: // of a difference too many digits may be lost
		return c.Ohms(a, b) + max(0, change.Ohms), true
	}
	return 0, false
}

// OhmsBetween returns OhmsIf for several pairs of terminals under the same changes.
// Cost: what the changes touch is worked out once.
func (c *Circuit) OhmsBetween(pairs [][2]int, changes []ElementChange) []float64 {
	n := c.network(decided)
	interest := make([]int, 0, 2*len(pairs))
	for _, pair := range pairs {
		interest = append(interest, pair[0], pair[1])
	}
	v := n.vary(changes, interest...)
	scratch := make([]float64, len(v.small.order))
	list := make([]float64, len(pairs))
	for i, pair := range pairs {
		if pair[0] != pair[1] {
			list[i] = v.small.ohms(v.place(pair[0]), v.place(pair[1]), scratch)
		}
	}
	return list
}

func (n *network) ohmsIf(a, b int, changes []ElementChange) float64 {
	switch {
	case a == b:
		return 0
	case len(changes) == 0:
		return n.ohms(a, b)
	default:
		return n.vary(changes, a, b).ohms(a, b)
	}
}
