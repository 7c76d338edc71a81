package faults

import (
	"cmp"
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// disconnectedLoads is what hangs, with no supply or with no ground in reach, behind one
// missing piece.
type disconnectedLoads struct {
	loads    []int // places in Parts.Loads
	missing  []int // elements that would bring it to life: blown fuses, wires taken out, diodes the wrong way round
	loose    []int // terminals at which the way ends, where that is clear
	members  []int // the terminals of the loads that are dead
	misplace int   // a wire that took them to a net where they find nothing; -1: none
	missent  bool  // a crossing's culprit is the wire that it lacks
	driver   int   // the terminal of a driver through which they would live; -1: none
}

// findDead groups dead terminals by what is missing. terminals are feeds or
// returns, each with the load it belongs to. Cost: linear, and a search for each
// region that is dead.
func (b *Analysis) findDead(loadOf map[int][]int, w way) []disconnectedLoads {
	groups := map[string]*disconnectedLoads{}
	var keys []string
	var order []int
	for t := range loadOf {
		order = append(order, t)
	}
	slices.SortFunc(order, b.compareTerminals)
	drivers := b.deadDrivers(w)
	misplaced := b.misplaced(order)
	byRegion := b.terminalsOfRegions(order)
	found := map[int32]*disconnectedLoads{}
	for _, t := range order {
		piece := b.reach.piece[t]
		if wire, wrong := misplaced[t]; wrong {
			key := "at " + b.name(t)
			if wire >= 0 {
				key = "by " + b.elementName(wire)
			}
			if groups[key] == nil {
				groups[key] = &disconnectedLoads{misplace: wire, driver: -1}
				keys = append(keys, key)
			}
			groups[key].add(t, loadOf[t])
			continue
		}
		start, region, driver := t, b.reach.region[piece], -1
		passed := map[int32]bool{} // drivers may stand in a ring
		for next, driven := drivers[region]; driven && !passed[region]; next, driven = drivers[region] {
			passed[region] = true
			start, region, driver = next, b.reach.region[b.reach.piece[next]], next
		}
		group := found[region]
		if group == nil {
			missing := b.missingPiece(start, w)
			key := "region " + b.name(start)
			if len(missing) > 0 {
				key = "for want of"
				for _, id := range missing {
					key += " " + b.elementName(id)
				}
			}
			if group = groups[key]; group == nil {
				group = &disconnectedLoads{missing: missing, misplace: -1, driver: driver}
				groups[key] = group
				keys = append(keys, key)
			}
			found[region] = group
			if len(missing) == 0 {
				group.loose = b.looseEnds(byRegion[region])
			}
		}
		if group.driver < 0 {
			group.driver = driver
		}
		group.add(t, loadOf[t])
	}
	list := make([]disconnectedLoads, 0, len(keys))
	for _, key := range keys {
		group := groups[key]
		slices.SortFunc(group.loads, func(x, y int) int {
			return cmp.Or(b.compareTerminals(b.Parts.Loads[x].Feed, b.Parts.Loads[y].Feed), cmp.Compare(x, y))
		})
		list = append(list, *group)
	}
	return list
}

func (d *disconnectedLoads) add(t int, loads []int) {
	d.members = append(d.members, t)
	for _, load := range loads {
		if !slices.Contains(d.loads, load) {
			d.loads = append(d.loads, load)
		}
	}
}

// deadDrivers returns, by region of a driver's output, the terminal of the
// driver that would bring it to life and is dead itself: the loads behind it are
// dead for the same reason.
func (b *Analysis) deadDrivers(w way) map[int32]int {
	dead := map[int32]int{}
	for _, driver := range b.Parts.Drivers {
		through := driver.Feeds
		if w.grounds {
			through = driver.Returns
		}
		from := b.reach.region[b.reach.piece[driver.Drive]]
		for _, t := range through {
			if b.reach.region[b.reach.piece[t]] != from && len(b.reach.search(t, w)) == 0 {
				if known, found := dead[from]; !found || b.compareTerminals(t, known) < 0 {
					dead[from] = t
				}
			}
		}
	}
	return dead
}

// misplaced returns, of dead terminals, those that sit on a rail or a return
// where they find nothing, with the wire that took them there (-1: not clear).
func (b *Analysis) misplaced(terminals []int) map[int]int {
	byNet := map[int]map[int]bool{}
	for _, t := range terminals {
		if b.reach.ends[b.reach.piece[t]] {
			net := b.NetOf(t)
			if byNet[net] == nil {
				byNet[net] = map[int]bool{}
			}
			byNet[net][t] = true
		}
	}
	wires := map[int]int{}
	for net, members := range byNet {
		for _, branch := range b.branches(&b.AsIntended.Nets().List[net], b.rootOf(net, members), members) {
			for _, t := range branch.members {
				wires[t] = branch.wire
			}
		}
	}
	return wires
}

// missingPiece returns what lies open on the shortest way from a dead terminal
// to where its search would end well: blown fuses before wires that were taken
// out, those before diodes the wrong way round.
func (b *Analysis) missingPiece(t int, w way) []int {
	culprits := b.culprits()
	for _, allow := range []func(graphs.Element) bool{
		func(e graphs.Element) bool { return e.Kind == graphs.Fuse },
		func(e graphs.Element) bool { return e.Kind == graphs.Wire },
		func(e graphs.Element) bool { return e.Kind == graphs.Fuse || e.Kind == graphs.Wire },
		func(e graphs.Element) bool { return e.Kind == graphs.Diode },
	} {
		pass := func(id int) bool {
			e := b.AsIntended.Elements[id]
			if from, to := b.reach.piece[e.A], b.reach.piece[e.B]; culprits[id] || from == to && b.reach.ends[from] {
				return false // nothing is gained by walking about on a rail or on 0 V
			}
			return e.Joins() || e.Kind == graphs.Contact || allow(e)
		}
		goal := func(t int) bool {
			piece := b.reach.piece[t]
			return len(b.reach.goal(piece, w)) > 0 || !b.reach.ends[piece] && len(b.reach.search(t, w)) > 0
		}
		_, steps, found := b.shortest(b.AsIntended, t, pass, goal)
		if !found {
			continue
		}
		var missing []int
		for _, id := range steps {
			if e := b.AsIntended.Elements[id]; !e.Joins() && e.Kind != graphs.Contact {
				missing = append(missing, id)
			}
		}
		return missing
	}
	return nil
}

// terminalsOfRegions lists the terminals of the regions that some dead ones sit
// in.
func (b *Analysis) terminalsOfRegions(dead []int) map[int32][]int {
	lists := map[int32][]int{}
	for _, t := range dead {
		lists[b.reach.region[b.reach.piece[t]]] = nil
	}
	if len(lists) == 0 {
		return lists
	}
	for t := range b.Machine.Terminals {
		region := b.reach.region[b.reach.piece[t]]
		if list, wanted := lists[region]; wanted {
			lists[region] = append(list, t)
		}
	}
	return lists
}

// looseEnds returns the terminals of a dead region at which a wire is missing:
// a fuse, switch, breaker or plug through which the way leads and which has no
// wire on its other side; else the load terminals without any wire. Empty where
// it is not clear.
func (b *Analysis) looseEnds(terminals []int) []int {
	var ends, bare []int
	for _, t := range terminals {
		if b.wired(t) {
			continue
		}
		switch b.role(t) {
		case model.RoleFeed, model.RoleReturn:
			bare = append(bare, t)
		case model.RolePass, model.RoleUnknown:
			if b.kindOf(b.device(t)) != model.KindTerminalBlock && b.leadsOn(t) {
				ends = append(ends, t)
			}
		}
	}
	const most = 3
	if len(ends) == 0 || len(ends) > most {
		ends = bare
	}
	slices.SortFunc(ends, b.compareTerminals)
	return ends
}

// wired says whether a wire that is in the machine ends at a terminal.
func (b *Analysis) wired(t int) bool {
	return slices.ContainsFunc(b.AsIntended.Incident(t), func(id int32) bool {
		return b.AsIntended.Elements[id].Kind == graphs.Wire && b.AsIntended.Elements[id].Present
	})
}

// leadsOn says whether the device joins a terminal, in some position, to one
// that has a wire.
func (b *Analysis) leadsOn(t int) bool {
	return slices.ContainsFunc(b.AsIntended.Incident(t), func(id int32) bool {
		e := b.AsIntended.Elements[id]
		return e.Kind.MetalInside() && b.wired(b.AsIntended.Far(int(id), t))
	})
}

// mapped says whether any wire reaches a load's device: one without is not drawn
// yet.
func (b *Analysis) mapped(load int) bool { return b.wiredDevices[b.Parts.Loads[load].Device] }

// noteWired notes the devices that a wire reaches which is in the machine.
func (b *Analysis) noteWired() {
	b.wiredDevices = map[string]bool{}
	for _, e := range b.AsDrawn.Elements {
		if e.Kind == graphs.Wire && e.Present {
			b.wiredDevices[b.device(e.A)], b.wiredDevices[b.device(e.B)] = true, true
		}
	}
}
