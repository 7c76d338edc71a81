package session

import (
	"fmt"
	"strings"

	"bellout/faults"
	"bellout/model"
)

// Walk lists a path as the places that a person comes by, from the device
// outward: each part with the marks where one enters and leaves it, and the
// wires between them.
func Walk(m *model.Machine, path faults.TracePath) []string {
	var steps []string
	wires := path.Wires
	for at := 0; at < len(path.Through); at++ {
		device, mark := split(path.Through[at])
		last := at
		for last+1 < len(path.Through) && sameDevice(path.Through[last+1], device) && !joined(m, wires, path.Through[last], path.Through[last+1]) {
			last++
		}
		step := device + ":" + mark
		if last > at {
			_, leaves := split(path.Through[last])
			step += "-" + leaves
		}
		if row, there := m.Device(device); there {
			step += "  " + naming(row)
		}
		steps = append(steps, step)
		if last+1 < len(path.Through) && len(wires) > 0 && joined(m, wires, path.Through[last], path.Through[last+1]) {
			steps = append(steps, wireStep(m, wires[0]))
			wires = wires[1:]
		}
		at = last
	}
	return steps
}

// naming is what a person knows a device by: its title, else its kind.
func naming(d model.Device) string {
	if d.Title != "" {
		return d.Title
	}
	return strings.ReplaceAll(string(d.Kind), "-", " ")
}

func wireStep(m *model.Machine, name string) string {
	wire, there := m.Wire(name)
	if !there {
		return name
	}
	words := []string{name}
	if wire.Colour != "" {
		words = append(words, string(wire.Colour))
	}
	if gauge := wire.Gauge.String(); gauge != "" {
		words = append(words, gauge)
	}
	return "    " + strings.Join(words, "  ")
}

// joined is true where the next wire of a path runs between two terminals.
func joined(m *model.Machine, wires []string, a, b string) bool {
	if len(wires) == 0 {
		return false
	}
	wire, there := m.Wire(wires[0])
	if !there {
		return false
	}
	from, to := wire.From.String(), wire.To.String()
	return from == a && to == b || from == b && to == a
}

func sameDevice(terminal, device string) bool {
	other, _ := split(terminal)
	return other == device
}

func split(terminal string) (device, mark string) {
	device, mark, _ = strings.Cut(terminal, ":")
	return device, mark
}

// Naming is what a person knows a device by, with its reference in front.
func Naming(m *model.Machine, ref string) string {
	row, there := m.Device(ref)
	if !there || naming(row) == "" {
		return ref
	}
	return fmt.Sprintf("%s  %s", ref, naming(row))
}
