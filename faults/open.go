package faults

const nameOpen = "open"

var ruleOpen = Rule{
	Name:  nameOpen,
	Title: "Terminals of one net that do not read as joined",
	Why: "The map has a join that the meter does not find, or a part in the way does not conduct. Joints and contacts let go " +
		"far more often than the middle of a wire. Where parts bridge the break, the meter shows them instead of nothing, so " +
		"the readings are compared with what the rest of the network would read. Of several explanations the likeliest is " +
		"named first, with the reading that would tell it from the next.",
	Check: checkOpen,
}

func checkOpen(b *Analysis) []Finding { return b.explained[nameOpen] }
