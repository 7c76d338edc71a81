package faults

var ruleNoFuse = Rule{
	Name:  "no-fuse",
	Title: "A wire with no fuse or breaker upstream that its source can burn",
	Check: checkNoFuse,
}

func checkNoFuse(b *Bench) []Finding {
	return nil
}
