package faults

import (
	"fmt"

	"bellout/faults/judge"
)

var ruleRailCross = Rule{
	Name:  nameRailCross,
	Title: "Two rails of different supplies or volts joined",
	Why: "Rails that meet put the higher volts on everything that hangs on the lower, and one supply drives its current " +
		"into the other. Two supplies of equal volts share their load badly and keep each other's rail alive when one is " +
		"switched off; joined on purpose they need a diode or a relay between them, or, as a charger and its battery, a bond from rail to rail that says so. The finding names the join whose removal " +
		"leaves every load on a rail that suits it.",
	Check: checkRailCross,
}

func checkRailCross(b *Analysis) []Finding {
	return append(b.crossingsUnder(nameRailCross, b.railCross), b.explained[nameRailCross]...)
}

// crossingsUnder words the crossings that break one rule, but for those that are
// half of two conductors changed over: swapped says those.
func (b *Analysis) crossingsUnder(rule string, word func(NetBridge) Finding) []Finding {
	var list []Finding
	for at, crossing := range b.NetBridges {
		if crossing.Rule == rule && !b.isExchange(at) {
			list = append(list, word(crossing))
		}
	}
	return list
}

func (b *Analysis) railCross(crossing NetBridge) Finding {
	message := fmt.Sprintf("%s (%s) and %s (%s) are joined by %s. The chain: %s.%s%s",
		b.Net(crossing.From).Name, b.name(crossing.From), b.Net(crossing.To).Name, b.name(crossing.To),
		b.culpritText(crossing.Elements), b.chainText(crossing.Chain, crossing.ChainSteps), b.rivalText(crossing), b.meantText(crossing))
	advice := fmt.Sprintf("All power off, both supplies unplugged on their DC side and every load out: a reading that stays below "+
		"0.5 ohm from %s to %s is a real join. %s%s "+
		"Test every device of the lower rail before power returns.%s",
		b.name(crossing.From), b.name(crossing.To), b.liftText(crossing.Elements, "found"), b.openable(crossing.Elements, " Take it out."), b.bondText(crossing))
	return b.crossed(crossing).headed("%s and %s are joined by %s", b.Net(crossing.From).Name, b.Net(crossing.To).Name, b.shortNames(crossing.Elements)).
		say(crossing.Confidence, message, advice)
}

// bondText says how to write two rails that are meant to meet, where their volts
// let them: a charger and its battery, two supplies that share their loads.
func (b *Analysis) bondText(crossing NetBridge) string {
	from, to := b.supplyAt(crossing.From), b.supplyAt(crossing.To)
	if from < 0 || to < 0 || !alike(b.Parts.Supplies[from], b.Parts.Supplies[to]) {
		return ""
	}
	return fmt.Sprintf(" If the two are meant to meet, as a charger and its battery are, write a bond from %s to %s.", b.name(crossing.From), b.name(crossing.To))
}

// shortNames names elements as a headline does.
func (b *Analysis) shortNames(elements []int) string {
	names := make([]string, len(elements))
	for at, id := range elements {
		names[at] = b.elementName(id)
	}
	return judge.ListText(names, 2)
}

// crossed begins the finding of a crossing: the culprits first, then what could
// be blamed as well, the two anchors and the two nets.
func (b *Analysis) crossed(crossing NetBridge) *draft {
	return b.draft(crossing.Rule, Fault).blame(crossing.Elements...).blame(crossing.Rivals...).
		terminals(crossing.From, crossing.To).nets(crossing.From, crossing.To)
}

// rivalText says what else could be the culprit.
func (b *Analysis) rivalText(crossing NetBridge) string {
	if len(crossing.Rivals) == 0 {
		return ""
	}
	names := make([]string, len(crossing.Rivals))
	for at, id := range crossing.Rivals {
		names[at] = b.elementName(id)
	}
	return fmt.Sprintf(" The map fits as well if it is %s that does not belong there.", eitherText(names, 8))
}
