package faults

var ruleUnderVoltage = Rule{
	Name:  "under-voltage",
	Title: "A feed on a net of fewer volts than it needs",
	Check: checkUnderVoltage,
}

func checkUnderVoltage(b *Bench) []Finding {
	return nil
}
