package faults

import (
	"math"
	"slices"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// MayProbeLive says whether a probe may be proposed between two terminals while
// the machine is on: neither is on the mains or on earth, where tests are dead
// only, and what the map has there stays below judge.LiveProbeDC, and below
// judge.LiveProbeAC where it may be AC. Everything that proposes a live
// measurement asks here.
func (b *Analysis) MayProbeLive(red, black int) bool {
	for _, t := range [2]int{red, black} {
		if !b.lowAt(t) {
			return false
		}
	}
	return !tooLive(b.Judge().MostVolts(red, black))
}

// tooLive says whether volts are more than a live probe is proposed for.
func tooLive(volts float64) bool { return math.Abs(volts) >= judge.LiveProbeDC }

// lowAt says whether a terminal by itself may be touched by a tip while the
// machine is on.
func (b *Analysis) lowAt(t int) bool {
	if b.kept.Mains(t) || b.role(t) == model.RoleEarth || b.Net(t).Kind == graphs.NetEarth || b.kindOf(b.device(t)) == model.KindMainsInlet {
		return false
	}
	for _, other := range b.AsDrawn.Nets().Net(t).Terminals {
		switch terminal := &b.Machine.Terminals[other]; terminal.Role {
		case model.RoleRail, model.RoleFeed:
			if math.Abs(terminal.Volts.Or(0)) >= b.boundAt(other) {
				return false
			}
		}
	}
	return true
}

// allLow says whether volts may be asked for at every one of some terminals; those
// below 0 count for nothing.
func (b *Analysis) allLow(terminals ...int) bool {
	return !slices.ContainsFunc(terminals, func(t int) bool { return t >= 0 && !b.lowAt(t) })
}

// boundAt is the bound of a rail: that of AC where it feeds a bridge.
func (b *Analysis) boundAt(t int) float64 {
	if b.role(t) == model.RoleRail {
		for _, supply := range b.Parts.Supplies {
			if supply.Rail == t && len(supply.Returns) > 0 && b.AsDrawn.FeedBridge(t, supply.Returns[0]) {
				return judge.LiveProbeAC
			}
		}
	}
	return judge.LiveProbeDC
}

// Judge returns what holds readings against the map.
func (b *Analysis) Judge() *judge.Judge { return b.evidence.judge }
