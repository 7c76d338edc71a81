package faults

import (
	"fmt"
	"slices"

	"bellout/graphs"
	"bellout/model"
)

var ruleShort = Rule{
	Name:  nameShort,
	Title: "A rail joined to a return or to earth, or two nets joined that should not be",
	Why: "A rail that meets its own 0 V or the frame gives all the current that the supply has: the fuse goes, or the wire " +
		"burns. A driver's output that meets a rail or 0 V keeps its load on for ever or kills the driver when it switches; so do two " +
		"outputs that meet, unless the map has a solid link between them inside the driver, which says that they are one. A load between two outputs is no join. " +
		"A rail on the return of another supply is none where that closes no loop: supplies in series. A mains pole that meets anything of the low-voltage side is a danger to life. The finding names the join whose removal " +
		"leaves every load where it belongs.",
	Check: checkShort,
}

func checkShort(b *Analysis) []Finding {
	return append(b.crossingsUnder(nameShort, b.short), b.explained[nameShort]...)
}

func (b *Analysis) short(crossing NetBridge) Finding {
	message := fmt.Sprintf("%s by %s. The chain: %s.%s%s",
		b.joinText(crossing.From, crossing.To, b.netAt), b.culpritText(crossing.Elements), b.chainText(crossing.Chain, crossing.ChainSteps), b.rivalText(crossing), b.meantText(crossing))
	if b.role(crossing.From) == model.RoleDrive && b.role(crossing.To) == model.RoleDrive {
		message += " What the one switches on, the other switches off, or fights. If both only sink and are meant to share a load, write them as one output: a solid link between the two inside the driver."
	}
	var advice string
	if b.onMains(crossing) {
		advice = fmt.Sprintf("Stop: this touches the mains. Pull the plug and keep it in sight; never probe it live. Dead, in ohms only: %s to %s "+
			"with the plug out shows whether the join is there. A licensed person decides and repairs.",
			b.name(crossing.From), b.name(crossing.To))
	} else {
		advice = fmt.Sprintf("All power off and every load out: a steady reading below 0.5 ohm from %s to %s is a real short, a coil or a cold lamp is not. "+
			"%s%s Power up with a current limit after that.",
			b.name(crossing.From), b.name(crossing.To), b.liftText(crossing.Elements, "found"), b.openable(crossing.Elements, " If not, unplug branch after branch until the reading opens, earth left in place. Take the cause out, sleeve the edge that cut in."))
	}
	return b.crossed(crossing).headed("%s by %s", b.joinText(crossing.From, crossing.To, b.netAt), b.shortNames(crossing.Elements)).
		say(crossing.Confidence, message, advice)
}

// joinText says which two nets are joined, each by its name.
func (b *Analysis) joinText(x, y int, name func(terminal int) string) string {
	if text, found := b.neutralAtEarth(x, y); found {
		return text
	}
	return fmt.Sprintf("%s and %s are joined", name(x), name(y))
}

// neutralAtEarth words the join of neutral and earth, which is called that: it is no
// short of the mains, and yet puts what the loads return on metal that hands touch.
func (b *Analysis) neutralAtEarth(x, y int) (text string, found bool) {
	if b.role(y) == model.RoleNeutral || b.Net(y).Kind == graphs.NetNeutral {
		x, y = y, x
	}
	if b.Net(x).Kind == graphs.NetNeutral && b.onEarth(y) {
		return fmt.Sprintf("Neutral (%s) is joined to earth (%s)", b.name(x), b.name(y)), true
	}
	return "", false
}

// onEarth says whether a net holds an earth terminal, be it one of 0 V that is
// bonded to earth.
func (b *Analysis) onEarth(terminal int) bool {
	return slices.ContainsFunc(b.Net(terminal).Terminals, func(t int) bool { return b.role(t) == model.RoleEarth })
}

// netAt names the net of a terminal, and the terminal where that says more.
func (b *Analysis) netAt(terminal int) string {
	net, name := b.Net(terminal).Name, b.name(terminal)
	if net == name {
		return name
	}
	return fmt.Sprintf("%s (%s)", net, name)
}

// onMains says whether one of the two nets is a pole of the mains.
func (b *Analysis) onMains(crossing NetBridge) bool {
	for _, t := range [2]int{crossing.From, crossing.To} {
		if b.kept.Mains(t) {
			return true
		}
		if kind := b.Net(t).Kind; kind == graphs.NetLine || kind == graphs.NetNeutral {
			return true
		}
	}
	return false
}

func (b *Analysis) isWire(element int) bool { return b.AsDrawn.Elements[element].Kind == graphs.Wire }
