package changes

import (
	"strings"

	"bellout/faults"
)

// missing returns the findings of list that others has not. A finding is known
// again by its rule and what it blames: another reading changes how sure it is.
func missing(list, others []faults.Finding) []faults.Finding {
	there := map[string]int{}
	for _, f := range others {
		there[keyOf(f)]++
	}
	found := []faults.Finding{}
	for _, f := range list {
		if there[keyOf(f)]--; there[keyOf(f)] < 0 {
			found = append(found, f)
		}
	}
	return found
}

func keyOf(f faults.Finding) string {
	devices, terminals, wires := f.Devices, f.Terminals, f.Wires
	if c := f.Culprit; len(c.Devices)+len(c.Terminals)+len(c.Wires) > 0 {
		devices, terminals, wires = c.Devices, c.Terminals, c.Wires
	}
	if len(wires)+len(terminals) > 0 {
		devices = nil // the place says it closer
	}
	return f.Rule + "\n" + strings.Join(wires, " ") + "\n" + strings.Join(terminals, " ") + "\n" + strings.Join(devices, " ")
}
