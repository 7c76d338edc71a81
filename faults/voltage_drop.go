package faults

var ruleVoltageDrop = Rule{
	Name:  "voltage-drop",
	Title: "More drop out and back than the limit",
	Check: checkVoltageDrop,
}

func checkVoltageDrop(b *Bench) []Finding {
	return nil
}
