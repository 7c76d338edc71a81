package faults

var ruleOverVoltage = Rule{
	Name:  "over-voltage",
	Title: "A feed on a net of more volts than it stands",
	Check: checkOverVoltage,
}

func checkOverVoltage(b *Bench) []Finding {
	return nil
}
