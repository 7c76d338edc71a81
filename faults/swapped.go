package faults

const nameSwapped = "swapped"

var ruleSwapped = Rule{
	Name:  nameSwapped,
	Title: "Two conductors changed over",
	Why: "Two wires that were exchanged at one end look like two breaks and two shorts. It is one mistake with one repair, so " +
		"it is one finding. A feed and a return that were exchanged put reverse volts on the device.",
	Check: checkSwapped,
}

func checkSwapped(b *Bench) []Finding { return b.explained[nameSwapped] }
