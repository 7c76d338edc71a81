package faults

var ruleOpen = Rule{
	Name:  "open",
	Title: "Terminals of one net that do not read as joined",
	Check: checkOpen,
}

func checkOpen(b *Bench) []Finding {
	return nil
}
