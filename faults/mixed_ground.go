package faults

var ruleMixedGround = Rule{
	Name:  "mixed-ground",
	Title: "Returns of two supplies joined without a bond, or a load that returns to another supply",
	Check: checkMixedGround,
}

func checkMixedGround(b *Bench) []Finding {
	return nil
}
