package nextprobe

import (
	"math"
	"slices"

	"bellout/model"
)

// cluster is what mapping knows to hang together: terminals that links of devices
// or wires on the map join. A terminal by itself is one too.
type cluster struct {
	terminals []int // rising
	wires     int   // that end in it, each counted once
	loose     int   // terminals of it where no wire ends
	tries     int   // silences that a reading with it met

	has   aims      // what its terminals are for
	hint  aims      // what names make of terminals that are only a way through
	volts []float64 // of its rails and feeds, each once
	named []float64 // volts that names give to ways through
	zones []int     // each once
	ends  []int     // devices with terminals that are no way through, each once; the first few

	ground int // a terminal of a supply's return in it; -1: none

	// apart counts, for another class, the readings that showed the two apart.
	apart map[*cluster]int
	seen  []negativeResult // what the last few silences with it showed
	parks int              // the terminal on which a tip was last; -1: none yet
	near  []partner        // the likeliest partners, once weighed
	wide  bool             // whether all others were weighed then
	stamp int              // of the last look that weighed it
	held  int              // stamp of the last window that held it
	at    int              // place in survey.live
}

// negativeResult is a reading that was no join: far is where the other tip was.
type negativeResult struct {
	far  int
	ohms float64 // +Inf: OL
}

const mostSilences = 4

func (c *cluster) show(far int, ohms float64) {
	c.seen = append(c.seen, negativeResult{far, ohms})
	c.seen = c.seen[max(0, len(c.seen)-mostSilences):]
}

// aims are what terminals are for, one bit for each.
type aims uint16

const (
	aimLine aims = 1 << iota
	aimNeutral
	aimEarth
	aimRail
	aimGround // a supply's return
	aimFeed
	aimDrive
	aimReturn // a load's
	aimSignal
	aimPass
	aimHot // by its name or kind: a rail or what hangs on one
)

const aimsSource = aimLine | aimNeutral | aimEarth | aimRail | aimGround

// main is the most telling of several aims.
func (a aims) main() aims { return a & -a }

func (c *cluster) passOnly() bool { return c.has == aimPass }

// needs says whether wires are missing for what a class is for: a load without a
// source, a signal with one end, a way through with a free end.
func (c *cluster) needs() bool {
	switch c.has.main() {
	case aimLine, aimNeutral, aimEarth, aimRail, aimGround:
		return c.wires == 0
	case aimFeed:
		return true
	case aimReturn:
		return true
	case aimDrive, aimSignal:
		return len(c.ends) < 2 && (c.loose > 0 || c.wires == 0)
	default:
		return c.loose > 0
	}
}

// swallow takes another class in. The survey moves its terminals.
func (c *cluster) swallow(other *cluster) {
	c.terminals = append(c.terminals, other.terminals...)
	slices.Sort(c.terminals)
	c.wires += other.wires
	c.loose += other.loose
	c.tries += other.tries
	c.has |= other.has
	c.hint |= other.hint
	c.volts = unite(c.volts, other.volts)
	c.named = unite(c.named, other.named)
	c.zones = unite(c.zones, other.zones)
	c.ends = unite(c.ends, other.ends)
	if len(c.ends) > mostEnds {
		c.ends = c.ends[:mostEnds]
	}
	for third, times := range other.apart {
		delete(third.apart, other)
		if third != c {
			c.apart[third] += times
			third.apart[c] += times
		}
	}
	if c.ground < 0 {
		c.ground = other.ground
	}
	c.seen = append(c.seen, other.seen...)
	c.seen = c.seen[max(0, len(c.seen)-mostSilences):]
	if c.parks < 0 {
		c.parks = other.parks
	}
}

const mostEnds = 6

func unite[T comparable](list, more []T) []T {
	for _, one := range more {
		if !slices.Contains(list, one) {
			list = append(list, one)
		}
	}
	return list
}

func meet[T comparable](a, b []T) bool {
	return slices.ContainsFunc(a, func(one T) bool { return slices.Contains(b, one) })
}

// aimOf is what one terminal is for.
func aimOf(t *model.Terminal, supplyReturn bool) aims {
	switch t.Role {
	case model.RoleLine:
		return aimLine
	case model.RoleNeutral:
		return aimNeutral
	case model.RoleEarth:
		return aimEarth
	case model.RoleRail:
		return aimRail
	case model.RoleReturn:
		if supplyReturn {
			return aimGround
		}
		return aimReturn
	case model.RoleFeed:
		return aimFeed
	case model.RoleDrive:
		return aimDrive
	case model.RoleSignal:
		return aimSignal
	default:
		return aimPass
	}
}

// suits is how well two classes go together by what they are for, their volts
// and what names say. Judgement; roles that must never meet are all but ruled
// out, not quite, since a builder errs.
func suits(a, b *cluster) float64 {
	if b.has.main() < a.has.main() {
		a, b = b, a
	}
	x, y := a.has.main(), b.has.main()
	weight := suitsByRole(x, y)
	if weight == 0 {
		return 0
	}
	hot := aimRail | aimFeed
	if a.has&hot != 0 && b.has&hot != 0 && len(a.volts) > 0 && len(b.volts) > 0 && !meet(a.volts, b.volts) {
		weight *= 0.01
	}
	return weight * named(a, b) * named(b, a)
}

// suitsByRole is suits for two main aims, the lower first.
func suitsByRole(x, y aims) float64 {
	switch x {
	case aimLine, aimNeutral, aimEarth:
		switch {
		case x == y:
			return 2
		case y == aimPass:
			return 0.4
		case x == aimEarth && y == aimGround:
			return 0.01
		}
		return 0
	case aimRail:
		switch y {
		case aimFeed:
			return 2
		case aimPass:
			return 1
		case aimRail:
			return 0.01
		case aimDrive, aimSignal:
			return 0.01
		}
		return 0.001
	case aimGround:
		switch y {
		case aimReturn:
			return 2
		case aimPass:
			return 1
		case aimGround:
			return 0.2
		case aimSignal:
			return 0.05
		case aimDrive:
			return 0.02
		}
		return 0.002
	case aimFeed:
		switch y {
		case aimFeed, aimPass:
			return 1
		case aimDrive:
			return 0.2
		case aimSignal:
			return 0.02
		}
		return 0.002
	case aimDrive:
		switch y {
		case aimReturn, aimPass:
			return 1
		case aimSignal:
			return 0.2
		}
		return 0.02
	case aimReturn:
		switch y {
		case aimReturn, aimPass:
			return 1
		}
		return 0.05
	case aimSignal:
		return 1
	default:
		return 0.15
	}
}

// named weighs what names say of the ways through in a against what b is for.
func named(a, b *cluster) float64 {
	if a.hint == 0 && len(a.named) == 0 {
		return 1
	}
	const agrees, differs = 6, 0.15
	if a.hint != 0 {
		alike := a.hint
		if alike&aimGround != 0 {
			alike |= aimReturn
		}
		if alike&aimHot != 0 {
			alike |= aimRail | aimFeed
			if (b.has|b.hint)&alike != 0 {
				return 1 // that it may be is no news; that it is 0 V would be
			}
		}
		known := b.has &^ aimPass
		switch {
		case known == 0 && b.hint == 0 && len(b.named) == 0:
			return 1
		case (known|b.hint)&alike != 0:
			return agrees
		}
		return differs
	}
	volts := b.volts
	if b.has&(aimRail|aimFeed) == 0 {
		switch {
		case b.has&(aimLine|aimNeutral|aimEarth|aimGround|aimReturn) != 0 || b.hint != 0:
			return differs
		case len(b.named) == 0:
			return 1
		}
		volts = b.named
	}
	if meet(a.named, volts) {
		return agrees
	}
	return differs
}

// standing is how much of the wires a class draws to itself: where many end,
// more do.
func (c *cluster) standing() float64 {
	if c.wires == 0 {
		return 0.5
	}
	return 1 + 0.3*math.Log(float64(c.wires))
}
