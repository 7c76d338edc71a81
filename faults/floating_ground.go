package faults

var ruleFloatingGround = Rule{
	Name:  "floating-ground",
	Title: "A signal between devices whose returns have no common point",
	Check: checkFloatingGround,
}

func checkFloatingGround(b *Bench) []Finding {
	return nil
}
