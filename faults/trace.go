package faults

import (
	"fmt"

	"bellout/graphs"
	"bellout/model"
)

// TracePath is one way upstream of a device, as the builder would walk it.
type TracePath struct {
	Kind    graphs.PathKind `json:"kind"`
	Through []string        `json:"through"` // every terminal in order, the device's own first
	Wires   []string        `json:"wires"`   // every wire in order
	Source  string          `json:"source"`  // the device that the path ends at
}

// TraceResult is every upstream path of a device. No list is nil.
type TraceResult struct {
	Device   string      `json:"device"`
	Paths    []TracePath `json:"paths"`
	Complete bool        `json:"complete"`
	Omitted  int         `json:"omitted"` // how many more paths there are than listed
}

// Trace lists the upstream paths of a device on the map as drawn: feed, return,
// earth, mains and signal, through open contacts and blown fuses too, since that
// is where the builder walks. At most graphs.PathLimit paths are listed, the
// rest counted. The error names devices near to the one asked for.
func Trace(m *model.Machine, device string) (*TraceResult, error) {
	if _, found := m.Device(device); !found {
		return nil, m.CheckTerminal(model.TerminalRef{Device: device, Mark: "1"})
	}
	c := graphs.NewCircuit(m, nil)
	paths, omitted := c.Upstream(device, graphs.PathLimit)
	result := &TraceResult{Device: device, Paths: make([]TracePath, 0, len(paths)), Complete: omitted == 0, Omitted: omitted}
	for _, path := range paths {
		line := TracePath{Kind: path.Kind, Source: path.Source, Through: make([]string, 0, len(path.Terminal)), Wires: []string{}}
		for _, t := range path.Terminal {
			line.Through = append(line.Through, c.Ref(t).String())
		}
		for _, id := range path.Elements {
			// What the path crosses inside a device without a link (a supply from
			// its rail to its inlet) has no element.
			if id >= 0 && id < len(m.Wires) { // what is only joined, too
				line.Wires = append(line.Wires, m.Wires[id].Name)
			}
		}
		result.Paths = append(result.Paths, line)
	}
	return result, nil
}

// Hindrances says where a path of the circuit at rest does not conduct: open
// contacts and blown fuses, in words; nil if it conducts all along.
func Hindrances(m *model.Machine, path TracePath) []string {
	var found []string
	for at := 1; at < len(path.Through); at++ {
		from, to := path.Through[at-1], path.Through[at]
		a, errA := model.ParseTerminalRef(from)
		b, errB := model.ParseTerminalRef(to)
		if errA != nil || errB != nil || a.Device != b.Device {
			continue
		}
		for _, kind := range []model.LinkKind{model.LinkContact, model.LinkFuse} {
			row := m.Row(model.TableLink, model.Link{Device: a.Device, From: a.Mark, To: b.Mark, Kind: kind}.ID())
			if link, known := row.(model.Link); known && !link.Joins() {
				word := "open at rest"
				if kind == model.LinkFuse {
					word = "blown"
				}
				found = append(found, fmt.Sprintf("%s is %s", link.Place(), word))
			}
		}
	}
	return found
}
