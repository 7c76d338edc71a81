package faults

var ruleNoFlyback = Rule{
	Name:  "no-flyback",
	Title: "A driven coil with no diode across it",
	Check: checkNoFlyback,
}

func checkNoFlyback(b *Bench) []Finding {
	return nil
}
