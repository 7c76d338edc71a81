package faults

var ruleNoFeed = Rule{
	Name:  "no-feed",
	Title: "A load's feed reaches no supply",
	Check: checkNoFeed,
}

func checkNoFeed(b *Bench) []Finding {
	return nil
}
