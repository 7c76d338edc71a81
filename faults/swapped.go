package faults

var ruleSwapped = Rule{
	Name:  "swapped",
	Title: "Two conductors changed over",
	Check: checkSwapped,
}

func checkSwapped(b *Bench) []Finding {
	return nil
}
