package faults

import (
	"fmt"
	"slices"

	"bellout/faults/judge"
)

var ruleReversePolarity = Rule{
	Name:  "reverse-polarity",
	Title: "A load's feed on a return and its return on a rail",
	Why: "Plus and minus swapped at one plug kill most electronics at once, or blow the fuse through the diode that " +
		"protects them; a coil with a diode across it shorts the driver. A lamp or a bare motor does not mind, but the map is " +
		"then wrong about it. Loads that hang behind the same two wires are one finding.",
	Check: checkReversePolarity,
}

func checkReversePolarity(b *Analysis) []Finding {
	type pair struct{ feed, back int } // nets
	groups := map[pair][]int{}
	for at, load := range b.Parts.Loads {
		if b.polarityOf(at) == reversed {
			key := pair{b.NetOf(load.Feed), b.NetOf(b.returnOnRail(at))}
			groups[key] = append(groups[key], at)
		}
	}
	var list []Finding
	for key, loads := range groups {
		feedWires, backWires := b.wiresOf(key.feed, loads, b.feedOf), b.wiresOf(key.back, loads, b.returnOnRail)
		type wires struct{ feed, back int }
		byWires := map[wires][]int{}
		for _, load := range loads {
			w := wires{feedWires[b.feedOf(load)], backWires[b.returnOnRail(load)]}
			if w.feed < 0 || w.back < 0 {
				w.feed, w.back = -1-load, -1-load // no wire of its own: a finding of its own
			}
			byWires[w] = append(byWires[w], load)
		}
		for w, together := range byWires {
			list = append(list, b.reversedLoads(together, w.feed, w.back))
		}
	}
	sortFindings(list)
	return append(list, b.explained["reverse-polarity"]...)
}

func (b *Analysis) feedOf(load int) int { return b.Parts.Loads[load].Feed }

func (b *Analysis) returnOnRail(load int) int {
	for _, t := range b.Parts.Loads[load].Returns {
		if b.OnRail(t) {
			return t
		}
	}
	return b.Parts.Loads[load].Returns[0]
}

// wiresOf returns, for one terminal of each load in a net, the wire that took
// it there.
func (b *Analysis) wiresOf(net int, loads []int, terminal func(load int) int) map[int]int {
	members := map[int]bool{}
	for _, load := range loads {
		members[terminal(load)] = true
	}
	wires := map[int]int{}
	for _, branch := range b.branches(&b.AsIntended.Nets().List[net], b.rootOf(net, members), members) {
		for _, t := range branch.members {
			wires[t] = branch.wire
		}
	}
	return wires
}

func (b *Analysis) reversedLoads(loads []int, feedWire, backWire int) Finding {
	slices.SortFunc(loads, func(x, y int) int { return b.compareTerminals(b.feedOf(x), b.feedOf(y)) })
	d := b.draft("reverse-polarity", Fault)
	if feedWire >= 0 {
		d.blame(feedWire, backWire)
	}
	var devices, feeds, backs []string
	for _, load := range loads {
		feed, back := b.feedOf(load), b.returnOnRail(load)
		d.blameTerminals(feed, back)
		devices, feeds, backs = append(devices, b.device(feed)), append(feeds, b.name(feed)), append(backs, b.name(back))
	}
	feed, back := b.feedOf(loads[0]), b.returnOnRail(loads[0])
	d.nets(feed, back).headed("Plus and minus are swapped at %s", judge.ListText(eachOnce(devices), 3))
	message := fmt.Sprintf("%s: plus and minus are swapped. Feed %s sits on %s, return %s on %s.",
		judge.ListText(eachOnce(devices), 6), judge.ListText(feeds, 4), b.Net(feed).Name, judge.ListText(backs, 4), b.Net(back).Name)
	swap := "the two wires"
	if feedWire >= 0 {
		swap = fmt.Sprintf("wires %s and %s", b.elementName(feedWire), b.elementName(backWire))
	}
	measure := ". Power on only to read the volts and their sign at the open plug, then off and 0 V again"
	if !b.allLow(feed, back) {
		measure = "; nobody probes it live: ohms from each pin of the open plug to the rail and to 0 V say the same"
	}
	advice := fmt.Sprintf("Power off, plug out. Unplug %s"+measure+". "+
		"Swap %s; add a keyed plug, a series fuse and a diode against reversal. Test the device on its own: it may be dead already.",
		judge.ListText(b.unplugTexts(eachOnce(devices)), 4), swap)
	return d.say(1, message, advice)
}
