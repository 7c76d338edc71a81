package faults

var ruleHighResistance = Rule{
	Name:  "high-resistance",
	Title: "Terminals of one net that read well above their copper",
	Check: checkHighResistance,
}

func checkHighResistance(b *Bench) []Finding {
	return nil
}
