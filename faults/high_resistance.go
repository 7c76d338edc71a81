package faults

const nameHighResistance = "high-resistance"

var ruleHighResistance = Rule{
	Name:  nameHighResistance,
	Title: "Terminals of one net that read well above their copper",
	Why: "A wire of a machine reads under half an ohm. What lies further above its copper than the limit of the settings is a " +
		"bad joint: it warms, it eats volts as soon as current flows, and in a return it lifts the 0 V of all that hangs on it. " +
		"The size is estimated from the readings, leads taken off.",
	Check: checkHighResistance,
}

func checkHighResistance(b *Analysis) []Finding { return b.explained[nameHighResistance] }
