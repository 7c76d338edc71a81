package faults

import (
	"fmt"
	"slices"

	"bellout/faults/judge"
	"bellout/model"
)

var ruleNoFeed = Rule{
	Name:  "no-feed",
	Title: "A load's feed reaches no supply",
	Why: "A feed that no wire, fuse, contact in any position, diode or switched output leads to a rail can never have power: a " +
		"wire is missing from the machine or from the map, or a fuse is blown. Loads that are dead for one reason are one " +
		"finding, which names what is missing. Devices without a single wire are not drawn yet: one note for all of them.",
	Check: checkNoFeed,
}

func checkNoFeed(b *Analysis) []Finding {
	var list []Finding
	for _, dead := range b.deadFeeds {
		if !dead.missent {
			list = append(list, b.deadFeed(dead))
		}
	}
	sortFindings(list)
	var bare []int
	for at := range b.Parts.Loads {
		if b.feedIsDead(at) && !b.mapped(at) {
			bare = append(bare, at)
		}
	}
	if len(bare) > 0 {
		list = append(list, b.unmappedLoads(bare))
	}
	return append(list, b.explained["no-feed"]...)
}

// feedsLost returns the loads to be named, by dead feed.
func (b *Analysis) feedsLost() map[int][]int {
	feeds := map[int][]int{}
	for at, load := range b.Parts.Loads {
		if b.feedIsDead(at) && b.mapped(at) &&
			!b.drivenBy(load.Feed, func(feeds, returns []int) bool { return len(feeds)+len(returns) == 0 }) {
			feeds[load.Feed] = append(feeds[load.Feed], at)
		}
	}
	return feeds
}

func (b *Analysis) feedIsDead(load int) bool {
	return len(b.Feeding(load)) == 0 && b.polarityOf(load) == forward && !b.spareFeed(load)
}

// spareFeed says whether a feed without a wire is the second pin of one that is
// fed: same section, same volts.
func (b *Analysis) spareFeed(load int) bool {
	l := b.Parts.Loads[load]
	if b.wired(l.Feed) {
		return false
	}
	for _, other := range b.loadsOf(l.Device) {
		o := b.Parts.Loads[other]
		if other != load && o.Volts == l.Volts && b.section(o.Feed) == b.section(l.Feed) && len(b.Feeding(other)) > 0 {
			return true
		}
	}
	return false
}

// drivenBy says whether a terminal sits on the output of a driver for which the
// condition holds.
func (b *Analysis) drivenBy(t int, is func(feeds, returns []int) bool) bool {
	region := b.reach.region[b.reach.piece[t]]
	for _, piece := range b.reach.byRegion[region] {
		for _, at := range b.reach.drivers[piece] {
			if driver := b.Parts.Drivers[at]; is(driver.Feeds, driver.Returns) {
				return true
			}
		}
	}
	return false
}

func (b *Analysis) deadFeed(dead disconnectedLoads) Finding {
	d := b.draft("no-feed", Fault)
	devices := b.nameDead(d, dead)
	d.headed("No feed reaches %s", judge.ListText(devices, 3))
	why, test := b.deadText(dead, "supply", "feed")
	message := fmt.Sprintf("%s %s no power: %s.", judge.ListText(devices, 6), hasOrHave(devices), why)
	return d.say(1, message, test)
}

// nameDead puts the missing piece first, then the loads, and returns the loads'
// devices.
func (b *Analysis) nameDead(d *draft, dead disconnectedLoads) []string {
	d.blame(dead.missing...)
	if dead.misplace >= 0 {
		d.blame(dead.misplace)
	}
	var devices []string
	for _, load := range dead.loads {
		devices = append(devices, b.Parts.Loads[load].Device)
	}
	devices = eachOnce(devices)
	for _, t := range dead.loose {
		if !slices.Contains(dead.members, t) {
			d.blameTerminals(t)
		}
	}
	if dead.driver >= 0 {
		d.blameTerminals(dead.driver)
		d.nets(dead.driver)
	}
	d.devices(devices...).terminals(dead.members...)
	for _, t := range dead.members {
		d.nets(t)
	}
	return devices
}

// deadText says in words what is missing, and how to be sure.
func (b *Analysis) deadText(dead disconnectedLoads, goal, side string) (why, advice string) {
	t := dead.members[0]
	switch {
	case len(dead.missing) > 0 && b.isBlown(dead.missing[0]):
		names := b.culpritText(dead.missing)
		return fmt.Sprintf("%s is blown", names),
			fmt.Sprintf("Power off: ohms across %s, out of its holder: over the range is blown. Before a new one of the same rating goes in, "+
				"find what blew it: ohms from its load side to 0 V with the loads unplugged one at a time. Never a bigger one.", names)
	case len(dead.missing) > 0 && b.isWire(dead.missing[0]):
		names := b.culpritText(dead.missing)
		return fmt.Sprintf("%s is taken out", names),
			fmt.Sprintf("If %s is back in the machine, say so in the map; ring it out end to end, power off, first. If another way was made, draw that one.", names)
	case len(dead.missing) > 0:
		return fmt.Sprintf("%s stands the wrong way round", b.culpritText(dead.missing)),
			fmt.Sprintf("Power off, diode range, both ways across %s: about 0.5 V one way only. Turn it round, or correct the map.", b.culpritText(dead.missing))
	case dead.misplace >= 0:
		return fmt.Sprintf("%s takes %s %s to %s, where it finds no %s", b.culpritText([]int{dead.misplace}), side, b.name(t), b.Net(t).Name, goal),
			fmt.Sprintf("Power off: ring %s to where it should go and to %s. Move %s, label it, update the map.",
				b.name(t), b.Net(t).Name, b.elementName(dead.misplace))
	case len(dead.loose) > 0 && !slices.Contains(dead.members, dead.loose[0]):
		return fmt.Sprintf("the way from %s ends at %s, where no wire goes on to a %s", b.name(t), b.namesOf(dead.loose), goal),
			fmt.Sprintf("Power off: ring %s to the %s that should be there. A beep is a wire that the map lacks; silence is a wire that the machine lacks.",
				b.namesOf(dead.loose), goal)
	case dead.driver >= 0:
		return fmt.Sprintf("no way in the map leads from the driver's %s to a %s", b.name(dead.driver), goal),
			fmt.Sprintf("Power off: ring %s to the %s that should be there. A beep is a wire that the map lacks; silence is a wire that the machine lacks.",
				b.name(dead.driver), goal)
	default:
		return fmt.Sprintf("no way in the map leads from %s to a %s", b.namesOf(dead.members), goal),
			fmt.Sprintf("Power off: ring %s to the %s that should be there. A beep is a wire that the map lacks; silence is a wire that the machine lacks.",
				b.name(t), goal)
	}
}

func (b *Analysis) isBlown(id int) bool {
	return !b.isWire(id) && b.Machine.Links[b.AsDrawn.Elements[id].Row].Kind == model.LinkFuse
}

func (b *Analysis) namesOf(terminals []int) string {
	names := make([]string, len(terminals))
	for at, t := range terminals {
		names[at] = b.name(t)
	}
	return judge.ListText(names, 4)
}

func hasOrHave(list []string) string {
	if len(list) > 1 {
		return "have"
	}
	return "has"
}

func (b *Analysis) unmappedLoads(loads []int) Finding {
	d := b.draft("no-feed", Note)
	var devices []string
	for _, load := range loads {
		devices = append(devices, b.Parts.Loads[load].Device)
		d.terminals(b.Parts.Loads[load].Feed)
	}
	d.devices(devices...).headed("No wire is drawn to %s yet", judge.ListText(inOrder(nil, devices), 3))
	message := fmt.Sprintf("No wire is drawn to %s yet: nothing is said about %s.", judge.ListText(inOrder(nil, devices), 8), oneOrThem(devices))
	return d.say(1, message, "Probe from each of them to the rails and returns, or draw the wires that you can follow by eye.")
}

func oneOrThem(list []string) string {
	if len(list) > 1 {
		return "them"
	}
	return "it"
}
