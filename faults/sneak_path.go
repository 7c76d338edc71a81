package faults

var ruleSneakPath = Rule{
	Name:  "sneak-path",
	Title: "A way from one rail to another through loads that touches no return",
	Check: checkSneakPath,
}

func checkSneakPath(b *Bench) []Finding {
	return nil
}
