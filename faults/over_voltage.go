package faults

var ruleOverVoltage = Rule{
	Name:  "over-voltage",
	Title: "A feed on a net of more volts than it stands",
	Why: "A part fed more than its limit dies at once or soon, mostly with its input shorted, and it may take its data lines along. " +
		"The rule compares the nominal volts of the rail that reaches a feed, by wires, closed links, drivers, or contacts in each position (never two throws of one changeover at once), " +
		"with the feed's own limits (by default 1.1 of its volts; the drop on the way is not counted, but 0.7 V of a diode in the feed are). Volts of the wrong sign count too, and across supplies in series their sum. " +
		"Loads that hang on the wrong rail by one wire are one finding.",
	Check: checkOverVoltage,
}

func checkOverVoltage(b *Analysis) []Finding {
	strays := b.findStrays()
	var findings []Finding
	for _, group := range strays.left(strays.above) {
		findings = append(findings, strays.w.misfeedFinding("over-voltage", Fault, group))
	}
	return findings
}
