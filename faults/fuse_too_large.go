package faults

var ruleFuseTooLarge = Rule{
	Name:  "fuse-too-large",
	Title: "A fuse or breaker larger than the wire may carry",
	Check: checkFuseTooLarge,
}

func checkFuseTooLarge(b *Bench) []Finding {
	return nil
}
