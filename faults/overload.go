package faults

var ruleOverload = Rule{
	Name:  "overload",
	Title: "The loads on a rail sum to more than its supply gives",
	Check: checkOverload,
}

func checkOverload(b *Bench) []Finding {
	return nil
}
