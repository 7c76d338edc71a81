package faults

// ProvenBy returns the numbers of the readings that prove a wire, nil where
// none does.
func (s *Session) ProvenBy(wire string) []int64 { return s.bench.evidence.proof.byWire(wire) }
