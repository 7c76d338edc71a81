package faults

import (
	"fmt"
	"slices"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

var ruleNoEarth = Rule{
	Name:  "no-earth",
	Title: "An earth terminal that does not reach the inlet's earth",
	Why: "Protective earth lets a fault blow the fuse before somebody touches the metal that has become live. A device whose " +
		"earth terminal does not reach the inlet has lost that. Machines without a mains inlet in the map are not judged.",
	Check: checkNoEarth,
}

func checkNoEarth(b *Analysis) []Finding {
	inlets := b.inletEarths()
	loadOf := map[string][]int{}
	missing := map[string][]int{}
	for _, terminals := range b.unearthedIslands {
		if slices.ContainsFunc(terminals, b.isMeant) {
			continue // the crossing says it
		}
		open := b.missingEarth(terminals, inlets)
		key := "island " + b.name(terminals[0])
		if len(open) > 0 {
			key = ""
			for _, id := range open {
				key += " " + b.elementName(id)
			}
		}
		loadOf[key] = append(loadOf[key], terminals...)
		missing[key] = open
	}
	var list []Finding
	for key, terminals := range loadOf {
		slices.SortFunc(terminals, b.compareTerminals)
		list = append(list, b.unearthed(terminals, missing[key], inlets))
	}
	sortFindings(list)
	return append(list, b.explained["no-earth"]...)
}

// findUnearthed lists, net by net, the earth terminals that do not reach the
// inlet.
func (b *Analysis) findUnearthed() {
	b.earthed = map[int]bool{}
	for _, t := range b.inletEarths() {
		b.earthed[b.NetOf(t)] = true
	}
	if len(b.earthed) == 0 {
		return // no inlet in the map
	}
	byNet := map[int][]int{}
	for t, terminal := range b.Machine.Terminals {
		if net := b.NetOf(t); terminal.Role == model.RoleEarth && !b.earthed[net] {
			byNet[net] = append(byNet[net], t)
		}
	}
	for _, terminals := range byNet {
		slices.SortFunc(terminals, b.compareTerminals)
		b.unearthedIslands = append(b.unearthedIslands, terminals)
	}
	slices.SortFunc(b.unearthedIslands, func(x, y []int) int { return b.compareTerminals(x[0], y[0]) })
}

// inletEarths returns the earth terminals at which the mains comes in: those of
// mains inlets, or, where no device is called that, of devices that have line
// and earth and neither take nor give anything else.
func (b *Analysis) inletEarths() []int {
	roles := map[string]map[model.Role]bool{}
	for _, terminal := range b.Machine.Terminals {
		if roles[terminal.Device] == nil {
			roles[terminal.Device] = map[model.Role]bool{}
		}
		roles[terminal.Device][terminal.Role] = true
	}
	var named, likely []int
	for t, terminal := range b.Machine.Terminals {
		if terminal.Role != model.RoleEarth {
			continue
		}
		has := roles[terminal.Device]
		switch {
		case b.kindOf(terminal.Device) == model.KindMainsInlet:
			named = append(named, t)
		case has[model.RoleLine] && !has[model.RoleRail] && !has[model.RoleFeed] && !has[model.RoleReturn]:
			likely = append(likely, t)
		}
	}
	if len(named) > 0 {
		return named
	}
	return likely
}

// missingEarth returns the elements that lie open on the shortest way to the
// inlet; nil if the map has none.
func (b *Analysis) missingEarth(terminals, inlets []int) []int {
	_, steps, found := b.shortest(b.AsIntended, terminals[0],
		func(id int) bool { return b.AsIntended.Elements[id].Kind.Metal() },
		func(t int) bool { return slices.Contains(inlets, t) })
	if !found {
		return nil
	}
	var open []int
	for _, id := range steps {
		if !b.AsIntended.Elements[id].Joins() {
			open = append(open, id)
		}
	}
	return open
}

func (b *Analysis) unearthed(terminals, missing, inlets []int) Finding {
	d := b.draft("no-earth", Fault).blame(missing...).terminals(terminals...)
	var devices []string
	for _, t := range terminals {
		devices = append(devices, b.device(t))
		d.nets(t)
	}
	devices = eachOnce(devices)
	d.devices(devices...).headed("No protective earth at %s", judge.ListText(devices, 3))
	why := "no way in the map leads there"
	if len(missing) > 0 {
		why = b.culpritText(missing) + " is open"
		if b.AsDrawn.Elements[missing[0]].Kind == graphs.Wire {
			why = b.culpritText(missing) + " is taken out"
		}
	}
	message := fmt.Sprintf("Earth of %s does not reach the inlet's earth %s: %s.", b.namesOf(terminals), b.namesOf(inlets), why)
	advice := fmt.Sprintf("Stop using the machine. Plug out, ohms only: from the earth pin of the plug to %s and to every metal part that a hand can reach, "+
		"under 0.5 ohm after the leads. Restore the earth conductor at once; fixed wiring and doubt belong to a licensed person. "+
		"Never lift an earth conductor to test.", b.namesOf(terminals))
	return d.say(1, message, advice)
}
