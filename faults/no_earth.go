package faults

var ruleNoEarth = Rule{
	Name:  "no-earth",
	Title: "An earth terminal that does not reach the inlet's earth",
	Check: checkNoEarth,
}

func checkNoEarth(b *Bench) []Finding {
	return nil
}
