package faults

var ruleShort = Rule{
	Name:  "short",
	Title: "A rail joined to a return or to earth, or two nets joined that should not be",
	Check: checkShort,
}

func checkShort(b *Bench) []Finding {
	return nil
}
