package faults

import (
	"fmt"
	"slices"

	"bellout/faults/judge"
)

var ruleNoReturn = Rule{
	Name:  "no-return",
	Title: "A load's return reaches no supply",
	Why: "Without a way back to a supply a load does not work, or it works through a signal lead, a screen or the frame, " +
		"which were not made for its current. Where two loads of different volts share the lost return, the one of fewer volts " +
		"gets the other's, the wrong way round. A driver's output counts as a way back when the driver has one itself. " +
		"Loads whose return is not mapped are not judged.",
	Check: checkNoReturn,
}

func checkNoReturn(b *Analysis) []Finding {
	var list []Finding
	for _, dead := range b.deadReturns {
		if !dead.missent {
			list = append(list, b.deadReturn(dead))
		}
	}
	sortFindings(list)
	return append(list, b.explained["no-return"]...)
}

// returnsLost returns the loads to be named, by dead return. A load of which one
// return is well is not lost; of several that are dead those with a wire count.
func (b *Analysis) returnsLost() map[int][]int {
	returns := map[int][]int{}
	for at, load := range b.Parts.Loads {
		if len(load.Returns) == 0 || len(b.Returning(at)) > 0 || b.polarityOf(at) != forward || !b.mapped(at) ||
			b.drainsIntoRail(at) || // sneak-path says it
			b.unknownDriver(at) {
			continue
		}
		lost := slices.DeleteFunc(slices.Clone(load.Returns), func(t int) bool { return !b.wired(t) })
		if len(lost) == 0 {
			lost = []int{slices.MinFunc(load.Returns, b.compareTerminals)}
		}
		for _, t := range lost {
			returns[t] = append(returns[t], at)
		}
	}
	return returns
}

// unknownDriver says whether a return hangs on a driver of which no return is
// mapped: nothing is known against it.
func (b *Analysis) unknownDriver(load int) bool {
	for _, t := range b.Parts.Loads[load].Returns {
		if b.drivenBy(t, func(_, returns []int) bool { return len(returns) == 0 }) {
			return true
		}
	}
	return false
}

// drainsIntoRail says whether a load's return sits on a rail that is not the one
// of its feed: current goes from the one rail to the other.
func (b *Analysis) drainsIntoRail(load int) bool {
	l := b.Parts.Loads[load]
	for _, t := range l.Returns {
		if b.OnRail(t) && b.NetOf(t) != b.NetOf(l.Feed) && len(b.Feeding(load)) > 0 {
			return true
		}
	}
	return false
}

func (b *Analysis) deadReturn(dead disconnectedLoads) Finding {
	d := b.draft("no-return", Fault)
	devices := b.nameDead(d, dead)
	d.headed("No return from %s", judge.ListText(devices, 3))
	why, advice := b.deadText(dead, "supply's return", "return")
	message := fmt.Sprintf("%s %s no way back: %s.%s", judge.ListText(devices, 6), hasOrHave(devices), why, b.sharedLoss(dead))
	return d.say(1, message, advice+" Every signal and USB lead out first: they may stand in for the return and hide it.")
}

// sharedLoss warns where the loads on one lost return hang on different rails.
func (b *Analysis) sharedLoss(dead disconnectedLoads) string {
	rails := map[int]bool{}
	var names []string
	for _, load := range dead.loads {
		for _, supply := range b.Feeding(load) {
			if net := b.NetOf(b.Parts.Supplies[supply].Rail); !rails[net] {
				rails[net] = true
				names = append(names, b.AsIntended.Nets().List[net].Name)
			}
		}
	}
	if len(names) < 2 {
		return ""
	}
	return fmt.Sprintf(" They hang on %s together: with power on, the higher volts drive current backwards through the loads of the lower.",
		judge.ListText(inOrder(nil, names), 4))
}
