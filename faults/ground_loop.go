package faults

var ruleGroundLoop = Rule{
	Name:  "ground-loop",
	Title: "Returns, or returns and earth, joined by more than one way round",
	Check: checkGroundLoop,
}

func checkGroundLoop(b *Bench) []Finding {
	return nil
}
