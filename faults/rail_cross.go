package faults

var ruleRailCross = Rule{
	Name:  "rail-cross",
	Title: "Two rails of different supplies or volts joined",
	Check: checkRailCross,
}

func checkRailCross(b *Bench) []Finding {
	return nil
}
