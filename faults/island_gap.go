package faults

import (
	"bellout/graphs"
	"bellout/model"
)

// meetAsIslands says whether two nets, both of which have wires, may turn out to
// be one: a map that grows from readings alone makes islands first, a chain of
// lamps here and another there, and the wire between them comes last. One of
// the two must hold nothing but wires that the meter found and no source yet,
// and what their terminals are for must go together; or both are earth, line or
// neutral, or returns that a bond permits to be common.
func (b *Analysis) meetAsIslands(red, black int) bool {
	nets := b.AsDrawn.Nets()
	one, other := nets.Net(red), nets.Net(black)
	if nets.Same(red, black) || len(one.Wires) == 0 || len(other.Wires) == 0 {
		return false
	}
	if one.Kind == graphs.NetReturn && other.Kind == graphs.NetReturn {
		return (b.allProbed(one) || b.allProbed(other)) && b.netsMayBeCommon(one, other)
	}
	if one.Kind == other.Kind && (one.Kind == graphs.NetEarth || one.Kind.Mains()) {
		return b.allProbed(one) || b.allProbed(other)
	}
	island := one.Kind == graphs.NetOther && b.allProbed(one) || other.Kind == graphs.NetOther && b.allProbed(other)
	return island && b.goTogether(one, other)
}

// allProbed says whether the meter found every wire of a net.
func (b *Analysis) allProbed(net *graphs.Net) bool {
	for _, row := range net.Wires {
		if !b.Machine.Wires[row].Basis.ByMeter() {
			return false
		}
	}
	return true
}

func (b *Analysis) netsMayBeCommon(one, other *graphs.Net) bool {
	first := func(net *graphs.Net) int {
		for _, t := range net.Terminals {
			if b.groundAt[t] >= 0 {
				return b.groundAt[t]
			}
		}
		return -1
	}
	x, y := first(one), first(other)
	return x >= 0 && y >= 0 && b.MayBeCommon(x, y)
}

// goTogether says whether one net may hold all the terminals of two: no feed
// with a return, no mains with anything else, and one figure of volts.
func (b *Analysis) goTogether(one, other *graphs.Net) bool {
	var hot, cold, mains, plain bool
	volts := model.Optional{}
	for _, net := range [2]*graphs.Net{one, other} {
		for _, t := range net.Terminals {
			terminal := &b.Machine.Terminals[t]
			switch terminal.Role {
			case model.RoleRail, model.RoleFeed:
				hot = true
				if terminal.Volts.Known && volts.Known && terminal.Volts.Value != volts.Value {
					return false
				}
				if terminal.Volts.Known {
					volts = terminal.Volts
				}
			case model.RoleReturn:
				cold = true
			case model.RoleLine, model.RoleNeutral:
				mains = true
			case model.RoleEarth:
				return false
			case model.RoleSignal:
				plain = true
			case model.RoleDrive:
				plain = plain || b.AsDrawn.Wired(t) && hot
			}
		}
	}
	kinds := 0
	for _, is := range [4]bool{hot, cold, mains, plain} {
		if is {
			kinds++
		}
	}
	return kinds <= 1
}
