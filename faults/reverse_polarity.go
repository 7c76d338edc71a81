package faults

var ruleReversePolarity = Rule{
	Name:  "reverse-polarity",
	Title: "A load's feed on a return and its return on a rail",
	Check: checkReversePolarity,
}

func checkReversePolarity(b *Bench) []Finding {
	return nil
}
