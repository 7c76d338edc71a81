package faults

import (
	"math"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// MayProbeLive says whether a probe may be proposed between two terminals while
// the machine is on: neither is on the mains or on earth, where tests are dead
// only, and what the map has there stays below judge.LiveProbeDC, and below
// judge.LiveProbeAC where it may be AC. Everything that proposes a live
// measurement asks here.
func (b *Bench) MayProbeLive(red, black int) bool {
	for _, t := range [2]int{red, black} {
		if !b.lowAt(t) {
			return false
		}
	}
	volts := b.Judge().Volts(red, black, nil)
	return !volts.Known || math.Abs(volts.Value) < judge.LiveProbeDC
}

// lowAt says whether a terminal by itself may be touched by a tip while the
// machine is on.
func (b *Bench) lowAt(t int) bool {
	if b.role(t) == model.RoleEarth || b.kindOf(b.device(t)) == model.KindMainsInlet {
		return false
	}
	for _, nets := range [2]*graphs.Nets{b.Drawn.Nets(), b.Apart.Nets()} { // a crossing may bring the mains, or hide the rail
		if nets.Kind(t) == graphs.NetEarth {
			return false
		}
		for _, other := range nets.Net(t).Terminals {
			terminal := &b.Machine.Terminals[other]
			switch terminal.Role {
			case model.RoleLine, model.RoleNeutral:
				return false
			case model.RoleRail, model.RoleFeed:
				if math.Abs(terminal.Volts.Or(0)) >= b.boundAt(other) {
					return false
				}
			}
		}
	}
	return true
}

// boundAt is the bound of a rail: that of AC where it feeds a bridge.
func (b *Bench) boundAt(t int) float64 {
	if b.role(t) == model.RoleRail {
		for _, supply := range b.Parts.Supplies {
			if supply.Rail == t && len(supply.Returns) > 0 && b.Judge().FeedBridge(t, supply.Returns[0]) {
				return judge.LiveProbeAC
			}
		}
	}
	return judge.LiveProbeDC
}

// Judge returns what holds readings against the map.
func (b *Bench) Judge() *judge.Judge { return b.evidence.judge }
