package faults

var ruleIntermittent = Rule{
	Name:  "intermittent",
	Title: "Readings of one pair under the same conditions that disagree",
	Check: checkIntermittent,
}

func checkIntermittent(b *Bench) []Finding {
	return nil
}
