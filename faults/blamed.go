package faults

// Blamed lists the wires, and the terminals as DEVICE:TERMINAL, that findings of
// severity fault blame, with the place of the first such finding in Findings.
// Where a finding names its culprit, its rivals are not blamed.
func (r *Report) Blamed() map[string]int {
	blamed := map[string]int{}
	add := func(names []string, at int) {
		for _, name := range names {
			if _, there := blamed[name]; !there {
				blamed[name] = at
			}
		}
	}
	for at, finding := range r.Findings {
		if finding.Severity != Fault {
			continue
		}
		wires, terminals := finding.Wires, finding.Terminals
		if c := finding.Culprit; len(c.Wires)+len(c.Terminals)+len(c.Devices) > 0 {
			wires, terminals = c.Wires, c.Terminals
		}
		add(wires, at)
		add(terminals, at)
	}
	return blamed
}
