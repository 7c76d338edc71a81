package faults

var ruleNoReturn = Rule{
	Name:  "no-return",
	Title: "A load's return reaches no supply",
	Check: checkNoReturn,
}

func checkNoReturn(b *Bench) []Finding {
	return nil
}
