package faults

// explainReadings fills b.explained with what the readings call for.
func (b *Bench) explainReadings() {
	b.explained = map[string][]Finding{}
}
