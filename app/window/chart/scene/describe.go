package scene

import (
	"fmt"
	"strconv"
	"strings"

	"bellout/app/drawing"
	"bellout/app/session"
	"bellout/graphs"
	"bellout/model"
	"bellout/model/wording"
)

// Describe says in a line what a thing is: of a wire its colour, gauge, ends, net
// and what proves it, of a terminal its role, volts and net, of a device its title
// and how it is. Empty for nothing.
func (s *Scene) Describe(what session.Selection) string {
	m := s.view.Machine
	switch what.Kind {
	case session.Device:
		if device, there := m.Device(what.Name); there {
			return s.describeDevice(device)
		}
	case session.Terminal:
		if ref, ok := Terminal(what.Name); ok {
			if at, there := m.TerminalIndex(ref); there {
				return s.describeTerminal(at)
			}
		}
	case session.Wire:
		if wire, there := m.Wire(what.Name); there {
			return s.describeWire(wire)
		}
	case session.Net:
		if ref, ok := Terminal(what.Name); ok {
			if at, there := m.TerminalIndex(ref); there {
				return s.describeNet(at)
			}
		}
	case session.Finding:
		if what.Finding >= 0 && what.Finding < len(s.view.Report.Findings) {
			return s.view.Report.Findings[what.Finding].Message
		}
	}
	return ""
}

func (s *Scene) describeDevice(device model.Device) string {
	health := "health not known"
	switch device.Health {
	case model.HealthFailed:
		health = "FAILED"
		if !device.FailedAt.IsZero() {
			health += " on " + device.FailedAt.Format("2 January 2006")
		}
	case model.HealthOK:
		health = "works"
	}
	return join(device.Ref, device.Title, health, string(device.Kind), device.Zone)
}

func (s *Scene) describeTerminal(at int) string {
	terminal := s.view.Machine.Terminals[at]
	role := string(terminal.Role)
	if terminal.Volts.Known {
		role += " " + terminal.Volts.String() + " V"
	}
	words := join(terminal.Ref().String(), strings.TrimSpace(role), "net "+s.nets.Name(at))
	if finding, blamed := s.view.Against[terminal.ID()]; blamed {
		words = join(words, "blamed: "+s.view.Report.Findings[finding].Rule)
	}
	return words
}

func (s *Scene) describeWire(wire model.Wire) string {
	colour := drawing.ColourWords(wire.Colour)
	if colour != "" {
		colour = string(wire.Colour) + " " + colour
	}
	length := ""
	if wire.LengthMetres.Known {
		length = wire.LengthMetres.String() + " m"
	}
	cable := ""
	if wire.Cable != "" {
		cable = "in " + wire.Cable
	}
	net := ""
	if at, there := s.view.Machine.TerminalIndex(wire.From); there {
		net = "net " + s.nets.Name(at)
	}
	proof := "not proven"
	if by := s.view.ProvenBy[wire.Name]; len(by) > 0 {
		proof = "proven by reading " + numbers(by)
	}
	words := join(wire.Name, colour, wire.Gauge.String(), length, cable, wire.From.String()+" to "+wire.To.String(), net, proof)
	if finding, blamed := s.view.Against[wire.Name]; blamed {
		words = join(words, "blamed: "+s.view.Report.Findings[finding].Rule)
	}
	return words
}

func (s *Scene) describeNet(at int) string {
	net := s.nets.Net(at)
	proven := 0
	for _, wire := range s.net[s.nets.Of[at]] {
		if s.view.Proven[s.Plan.Wires[wire].Wire] {
			proven++
		}
	}
	return join("net "+net.Name, netWords(net), fmt.Sprintf("%d of %s proven", proven, wording.Count(len(net.Wires), "wire")))
}

// netWords says what kind of net it is and how large.
func netWords(net *graphs.Net) string {
	kind := string(net.Kind)
	if net.Kind == graphs.NetOther {
		kind = ""
	}
	return join(kind, wording.Count(len(net.Terminals), "terminal"))
}

// numbers lists the numbers of readings, the last few of many.
func numbers(list []int64) string {
	const most = 4
	text := ""
	for i, number := range list[max(0, len(list)-most):] {
		if i > 0 {
			text += ", "
		}
		text += strconv.FormatInt(number, 10)
	}
	if more := len(list) - most; more > 0 {
		text += fmt.Sprintf(" and %d earlier", more)
	}
	return text
}
