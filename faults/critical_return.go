package faults

var ruleCriticalReturn = Rule{
	Name:  "critical-return",
	Title: "A return whose loss puts reversed or excessive volts on a device",
	Check: checkCriticalReturn,
}

func checkCriticalReturn(b *Bench) []Finding {
	return nil
}
