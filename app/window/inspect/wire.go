package inspect

import (
	"fmt"
	"slices"
	"strings"

	"bellout/app/session"
	"bellout/app/window/look"
	"bellout/graphs"
	"bellout/model"
)

func (i *Inspector) showWire(name string) {
	view := i.room.Session.View()
	wire, there := view.Machine.Wire(name)
	if !there {
		i.say(fmt.Sprintf("Wire %s is not on the map any more.", name))
		return
	}
	i.title("Wire "+name, wireFacts(wire))
	i.showStanding(view, name)
	i.heading("It joins")
	i.terminalLink(view.Machine, wire.From)
	i.terminalLink(view.Machine, wire.To)
	i.showReadings(view.ProvenBy[name])
}

// wireFacts is one line about a wire.
func wireFacts(w model.Wire) string {
	var words []string
	if w.Colour != "" {
		words = append(words, string(w.Colour))
	}
	if gauge := w.Gauge.String(); gauge != "" {
		words = append(words, gauge)
	}
	if w.LengthMetres.Known {
		words = append(words, w.LengthMetres.String()+" m")
	}
	if w.Cable != "" {
		words = append(words, "cable "+w.Cable)
	}
	if w.Basis != "" {
		words = append(words, string(w.Basis))
	}
	return strings.Join(words, ", ")
}

// showStanding says whether a wire is proven, or blamed.
func (i *Inspector) showStanding(view session.View, name string) {
	wire, _ := view.Machine.Wire(name)
	at, blamed := view.Against[name]
	switch {
	case wire.Removed:
		i.signed(look.SignStruck, "Removed: it is kept for the record, and conducts nothing.", true)
	case blamed:
		finding := view.Report.Findings[at]
		i.signed(look.SignContradicts, "Looks wrong: "+finding.Message, true)
		i.link("Go to the finding", session.Selection{Kind: session.Finding, Finding: at})
	case view.Proven[name]:
		i.signed(look.SignAgrees, "Proven by a reading.", true)
	default:
		i.signed(look.SignUndecided, "Not proven by any reading yet.", true)
	}
}

func (i *Inspector) terminalLink(m *model.Machine, ref model.TerminalRef) {
	text := ref.String()
	if row, there := m.Terminal(ref); there && row.Role != "" {
		text += "  " + string(row.Role)
	}
	i.link(text, session.Selection{Kind: session.Terminal, Name: ref.String()})
}

func (i *Inspector) showTerminal(name string) {
	machine := i.room.Session.Machine()
	ref, err := model.ParseTerminalRef(name)
	if err != nil || machine.CheckTerminal(ref) != nil {
		i.say(fmt.Sprintf("%s is not on the map any more.", name))
		return
	}
	terminal, _ := machine.Terminal(ref)
	i.title(name, terminalFacts(terminal))
	i.link(session.Naming(machine, ref.Device), session.Selection{Kind: session.Device, Name: ref.Device})
	i.heading("Wires here")
	var here []model.Wire
	for _, wire := range machine.Wires {
		if !wire.Removed && (wire.From == ref || wire.To == ref) {
			here = append(here, wire)
		}
	}
	slices.SortFunc(here, func(a, b model.Wire) int { return model.Compare(a.Name, b.Name) })
	for _, wire := range here {
		other := wire.To
		if other == ref {
			other = wire.From
		}
		i.link(fmt.Sprintf("%s to %s  %s", wire.Name, other, wire.Colour), session.Selection{Kind: session.Wire, Name: wire.Name})
	}
	var readings []int64
	for _, r := range machine.Readings {
		if r.Stands() && (r.Red == ref || r.Black == ref) {
			readings = append(readings, r.Number)
		}
	}
	i.showReadings(readings)
	i.showPhotos(ref.Device, ref.Mark)
}

func terminalFacts(t model.Terminal) string {
	var words []string
	if t.Role != "" {
		words = append(words, string(t.Role))
	}
	if t.Volts.Known {
		words = append(words, t.Volts.String()+" V")
	}
	if t.Section != "" {
		words = append(words, "section "+t.Section)
	}
	return strings.Join(words, ", ")
}

// netMost is how many terminals of a net are listed.
const netMost = 40

// showNet lists the net that a terminal is in, on the map at rest.
func (i *Inspector) showNet(terminal string) {
	machine := i.room.Session.Machine()
	ref, err := model.ParseTerminalRef(terminal)
	at, there := machine.TerminalIndex(ref)
	if err != nil || !there {
		i.say(fmt.Sprintf("%s is not on the map any more.", terminal))
		return
	}
	net := graphs.NewCircuit(machine, nil).Nets().Net(at)
	i.title("Net "+net.Name, fmt.Sprintf("%s, %d terminals", net.Kind, len(net.Terminals)))
	for shown, index := range net.Terminals {
		if shown == netMost {
			i.say(fmt.Sprintf("and %d more terminals", len(net.Terminals)-shown))
			return
		}
		i.terminalLink(machine, machine.Terminals[index].Ref())
	}
}
