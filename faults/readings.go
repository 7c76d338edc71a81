package faults

// explainReadings fills b.explained with what the readings call for.
func (b *Bench) explainReadings() {
	b.evidence = newEvidence(b)
	for _, reading := range b.Machine.Readings {
		b.evidence.add(reading)
	}
	b.explained = b.evidence.findings()
}
