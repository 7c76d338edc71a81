package faults

import (
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// anchorKind says what an anchor holds its net to. The order is that in which
// anchors are taken out of a net that joins too much.
type anchorKind uint8

const (
	anchorLine anchorKind = iota
	anchorNeutral
	anchorDrive
	anchorRail
	anchorZero // a supply's return
	anchorEarth
)

// anchor is a class of terminals that may share a net: one rail of one supply,
// the returns that bonds make common, earth, the mains poles, one driver
// output. Two classes that clash must not be joined.
type anchor struct {
	kind anchorKind
	// of tells anchors of one kind apart: a place in Parts.Supplies, a root of
	// the permissions, a place in Parts.Drivers.
	of int
}

// findAnchors returns the anchor of each terminal that is one.
func (b *Analysis) findAnchors() map[int]anchor {
	anchors := map[int]anchor{}
	first := map[section][]int{}
	for _, at := range b.suppliesByName() {
		supply := b.Parts.Supplies[at]
		if b.passesFeed(supply.Rail) {
			continue
		}
		of, key := at, b.section(supply.Rail)
		for _, earlier := range first[key] {
			if sameVolts(b.Parts.Supplies[earlier], supply) {
				of = earlier
				break
			}
		}
		if of == at {
			first[key] = append(first[key], at)
		}
		anchors[supply.Rail] = anchor{anchorRail, of}
	}
	for at, ground := range b.Grounds {
		for _, t := range ground.Returns {
			anchors[t] = anchor{anchorZero, b.permitted.find(at)}
		}
	}
	for _, t := range b.rectified {
		anchors[t] = anchor{anchorZero, b.permitted.find(b.groundAt[t])}
	}
	for t, terminal := range b.Machine.Terminals {
		switch terminal.Role {
		case model.RoleEarth:
			anchors[t] = anchor{anchorEarth, b.permitted.find(b.permitted.earth)}
		case model.RoleLine:
			anchors[t] = anchor{kind: anchorLine}
		case model.RoleNeutral:
			anchors[t] = anchor{kind: anchorNeutral}
		}
	}
	for at, driver := range b.Parts.Drivers {
		if !b.hasMetalLink(driver.Drive) {
			anchors[driver.Drive] = anchor{anchorDrive, at}
		}
	}
	b.anchorShunts(anchors)
	return anchors
}

// suppliesByName returns the places of all supplies in the order of their rails.
func (b *Analysis) suppliesByName() []int {
	order := make([]int, len(b.Parts.Supplies))
	for at := range order {
		order[at] = at
	}
	slices.SortFunc(order, func(x, y int) int { return b.compareTerminals(b.Parts.Supplies[x].Rail, b.Parts.Supplies[y].Rail) })
	return order
}

// sameVolts says whether two rails of one section may be one output brought out
// twice.
func sameVolts(one, other graphs.Supply) bool {
	return !one.Volts.Known || !other.Volts.Known || one.Volts.Value == other.Volts.Value
}

// passesFeed says whether a rail is only the device's own feed brought out
// again, by metal inside the device: such a rail is no source.
func (b *Analysis) passesFeed(rail int) bool {
	device := b.device(rail)
	seen := map[int]bool{rail: true}
	for stack := []int{rail}; len(stack) > 0; {
		t := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for _, id := range b.AsDrawn.Incident(t) {
			e := b.AsDrawn.Elements[id]
			far := b.AsDrawn.Far(int(id), t)
			if !e.Kind.MetalInside() || b.device(far) != device || seen[far] {
				continue
			}
			if b.role(far) == model.RoleFeed {
				return true
			}
			seen[far] = true
			stack = append(stack, far)
		}
	}
	return false
}

// hasMetalLink says whether the device itself joins the terminal to another in
// some position: a relay's contact that somebody called a drive.
func (b *Analysis) hasMetalLink(terminal int) bool {
	return slices.ContainsFunc(b.AsDrawn.Incident(terminal), func(id int32) bool {
		e := b.AsDrawn.Elements[id]
		return e.Kind.MetalInside()
	})
}

// clash returns the rule that the joining of two anchors breaks; empty if they
// may be joined. Returns and earth may always meet: whether they should is a
// matter of local rules, and only a second way round is ours to judge.
func (b *Analysis) clash(x, y anchor) string {
	if x == y {
		return ""
	}
	if y.kind < x.kind {
		x, y = y, x
	}
	switch {
	case x.kind == anchorRail && b.isStack(x, y):
		return ""
	case x.kind == anchorRail && y.kind == anchorRail:
		one, other := b.Parts.Supplies[x.of], b.Parts.Supplies[y.of]
		if b.section(one.Rail) == b.section(other.Rail) && sameVolts(one, other) || b.MayMeet(x.of, y.of) {
			return ""
		}
		return nameRailCross
	case x.kind == anchorZero && y.kind == anchorZero:
		return nameMixedGround
	case x.kind == anchorZero && y.kind == anchorEarth, x.kind == anchorEarth && y.kind == anchorEarth:
		return ""
	default:
		return nameShort
	}
}
