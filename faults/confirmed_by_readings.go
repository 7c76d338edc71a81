package faults

import "slices"

// confirmed returns the findings of the map, with the readings that speak for
// them; without those that readings say are not so.
func (b *Analysis) confirmed(onMap []Finding, explained map[string][]Finding) []Finding {
	gone := map[string]bool{}
	for _, finding := range explained[nameOpen] {
		if len(finding.Wires) > 0 {
			gone[finding.Wires[0]] = true
		}
	}
	var list []Finding
	for _, finding := range onMap {
		if !joinRule(finding.Rule) {
			list = append(list, finding)
			continue
		}
		if len(finding.Wires) > 0 && gone[finding.Wires[0]] {
			continue // the open finding names the wire: it is drawn, and not there
		}
		finding.Readings = b.speaking(finding, explained[finding.Rule])
		list = append(list, finding)
	}
	return list
}

func joinRule(rule string) bool {
	return rule == nameShort || rule == nameRailCross || rule == nameMixedGround
}

// speaking returns the numbers of the readings that prove a finding's culprit
// wires, and of those whose own finding is about the same nets.
func (b *Analysis) speaking(finding Finding, explained []Finding) []int64 {
	numbers := slices.Clone(finding.Readings)
	for _, wire := range finding.Wires[:min(len(finding.Wires), 1)] {
		for _, number := range b.evidence.proof.byWire(wire) {
			if b.crosses(number) {
				numbers = append(numbers, number)
			}
		}
	}
	for _, other := range explained {
		if sameSet(other.Nets, finding.Nets) {
			numbers = append(numbers, other.Readings...)
		}
	}
	slices.Sort(numbers)
	return slices.Compact(numbers)
}

// crosses says whether a reading's tips sit on nets that are two when the
// culprits are out.
func (b *Analysis) crosses(number int64) bool {
	r := b.evidence.weighed[number].reading
	red, _ := b.Machine.TerminalIndex(r.Red)
	black, _ := b.Machine.TerminalIndex(r.Black)
	return b.NetOf(red) != b.NetOf(black)
}

// fresh returns the findings of readings that say more than one of the map
// does.
func (b *Analysis) fresh(onMap, explained []Finding) []Finding {
	var list []Finding
	for _, finding := range explained {
		merged := false
		for _, other := range onMap {
			merged = merged || joinRule(finding.Rule) && other.Rule == finding.Rule && sameSet(other.Nets, finding.Nets)
		}
		if !merged {
			list = append(list, finding)
		}
	}
	return list
}

func sameSet(x, y []string) bool {
	x, y = slices.Clone(x), slices.Clone(y)
	slices.Sort(x)
	slices.Sort(y)
	return slices.Equal(slices.Compact(x), slices.Compact(y))
}
