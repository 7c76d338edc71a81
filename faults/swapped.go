package faults

const nameSwapped = "swapped"

var ruleSwapped = Rule{
	Name:  nameSwapped,
	Title: "Two conductors swapped",
	Why: "Two wires that were exchanged at one end look like two breaks and two shorts. It is one mistake with one repair, so " +
		"it is one finding. The map alone shows it where two terminals of one device stand on each other's nets: line and neutral, or two " +
		"feeds of different volts. A feed and a return that were exchanged put reverse volts on the device, which is reverse-polarity.",
	Check: checkSwapped,
}

func checkSwapped(b *Analysis) []Finding {
	var list []Finding
	for _, x := range b.findStrays().exchanges {
		list = append(list, b.exchangeFinding(x))
	}
	sortFindings(list)
	return append(list, b.explained[nameSwapped]...)
}
