package faults

var ruleUnderVoltage = Rule{
	Name:  "under-voltage",
	Title: "A feed on a net of fewer volts than it needs",
	Why: "A part fed less than it needs resets, stalls or half works, and the symptom looks like a bad part or bad software. " +
		"The rule compares the nominal volts of the rail that reaches a feed, contacts in each position, with the feed's own limits (by default 0.9 of its volts); " +
		"what the wires lose on the way is the business of voltage-drop.",
	Check: checkUnderVoltage,
}

func checkUnderVoltage(b *Analysis) []Finding {
	strays := b.findStrays()
	var findings []Finding
	for _, group := range strays.left(strays.below) {
		findings = append(findings, strays.w.misfeedFinding("under-voltage", Warning, group))
	}
	return findings
}
