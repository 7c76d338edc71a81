package faults

import (
	"slices"

	"bellout/model"
)

// expectedNets is what a load's terminal would be joined to if it were wired right:
// some of the classes that its net holds.
type expectedNets []anchor

// pull is the side of a cut on which a terminal should be, and what it costs to
// have it on the other.
type pull struct {
	side int8
	cost int64
}

// wishesOf returns how the terminals of loads in a set pull when class x is cut
// from those against it; terminals without a wish are left out.
func (a *netSeparation) wishesOf(part []int, x anchor, against []anchor) map[int]pull {
	classes := append([]anchor{x}, against...)
	driven := slices.ContainsFunc(classes, func(y anchor) bool { return y.kind == anchorDrive })
	pulls := map[int]pull{}
	for _, t := range part {
		if _, anchored := a.anchors[t]; anchored {
			continue
		}
		cost := int64(costWish)
		if driven && a.b.role(t) == model.RoleReturn && !a.ofDriver[t] {
			cost = costHint // a coil belongs to the driver, a lamp rather to 0 V
		}
		wanted := a.expectedNetsOf(t, classes)
		here := slices.Contains(wanted, x)
		there := slices.ContainsFunc(wanted, func(y anchor) bool { return y != x })
		switch {
		case here && !there:
			pulls[t] = pull{sourceSide, cost}
		case there && !here:
			pulls[t] = pull{sinkSide, cost}
		}
	}
	return pulls
}

// expectedNetsOf returns the classes, of those in question, that suit a terminal.
func (a *netSeparation) expectedNetsOf(t int, classes []anchor) expectedNets {
	switch a.b.role(t) {
	case model.RoleFeed:
		return a.expectedFeed(t, classes)
	case model.RoleReturn:
		return a.expectedReturn(t, classes)
	default:
		return nil
	}
}

// expectedFeed: a feed belongs on a rail of volts that fit; among several on the one
// whose 0 V its load returns to.
func (a *netSeparation) expectedFeed(t int, classes []anchor) expectedNets {
	var rails, fitting, own expectedNets
	for _, x := range classes {
		if x.kind != anchorRail {
			continue
		}
		rails = append(rails, x)
		for _, load := range a.b.loadsAt[t] {
			if !a.b.Fits(load, x.of) {
				continue
			}
			fitting = append(fitting, x)
			if slices.ContainsFunc(a.b.Parts.Loads[load].Returns, func(r int) bool { return a.landsOn(r, x.of) }) {
				own = append(own, x)
			}
		}
	}
	for _, list := range []expectedNets{own, fitting, rails} {
		if len(list) > 0 {
			return list
		}
	}
	return nil
}

// landsOn says whether a return terminal, in a net that is clear about it, is
// joined to the ground of a supply.
func (a *netSeparation) landsOn(t, supply int) bool {
	zeros := a.zeros[a.b.AsDrawn.Nets().Of[t]]
	return len(zeros) == 1 && zeros[0] == a.b.permitted.find(a.b.groundOfSupply[supply])
}

// expectedReturn: a return belongs with the ground of the supply that feeds it.
func (a *netSeparation) expectedReturn(t int, classes []anchor) expectedNets {
	var zeros, own expectedNets
	for _, x := range classes {
		if x.kind == anchorZero {
			zeros = append(zeros, x)
		}
	}
	if len(zeros) == 0 {
		// What is left is a driver's output against a rail: a load belongs to the
		// driver.
		return slices.DeleteFunc(slices.Clone(classes), func(x anchor) bool { return x.kind != anchorDrive })
	}
	for _, load := range a.b.loadsAt[t] {
		for _, supply := range a.feeding(load) {
			x := anchor{anchorZero, a.b.permitted.find(a.b.groundOfSupply[supply])}
			if slices.Contains(zeros, x) && !slices.Contains(own, x) {
				own = append(own, x)
			}
		}
	}
	if len(own) > 0 {
		return own
	}
	return zeros
}

// feeding returns the supplies that may be meant to feed a load: those its net
// holds whose volts fit, all of them if none fits.
func (a *netSeparation) feeding(load int) []int {
	l := a.b.Parts.Loads[load]
	found := a.rails[a.b.AsDrawn.Nets().Of[l.Feed]]
	if len(found) == 0 {
		found = a.b.reach.supplies(l.Feed, l.Volts.Or(0) < 0)
	}
	var fitting []int
	for _, supply := range found {
		if a.b.Fits(load, supply) {
			fitting = append(fitting, supply)
		}
	}
	if len(fitting) > 0 {
		return fitting
	}
	return found
}
