package sheets

import (
	"fmt"
	"io"
	"slices"

	"bellout/app/page"
	"bellout/graphs"
	"bellout/model"
)

// WireRow is one wire as people and files see it.
type WireRow struct {
	Wire         string         `json:"wire"`
	From         string         `json:"from"`
	To           string         `json:"to"`
	Colour       string         `json:"colour"`
	Gauge        string         `json:"gauge"`
	LengthMetres model.Optional `json:"length_m"`
	Cable        string         `json:"cable"`
	Basis        string         `json:"basis"`
	Removed      bool           `json:"removed"`
	Net          string         `json:"net"`    // empty for a removed wire
	Proven       bool           `json:"proven"` // by the readings
	Ohms         model.Optional `json:"ohm"`    // of its copper at the machine's ambient_c; unknown without gauge or length
}

// WireRows returns every wire, removed ones too, sorted by name.
func WireRows(machine *model.Machine, proven func(wire string) bool) []WireRow {
	circuit := graphs.NewCircuit(machine, nil)
	nets := circuit.Nets()
	celsius := machine.Settings().AmbientCelsius
	rows := make([]WireRow, len(machine.Wires))
	for i, wire := range machine.Wires {
		row := WireRow{
			Wire: wire.Name, From: wire.From.String(), To: wire.To.String(),
			Colour: string(wire.Colour), Gauge: wire.Gauge.String(), LengthMetres: wire.LengthMetres,
			Cable: wire.Cable, Basis: string(wire.Basis), Removed: wire.Removed,
		}
		if wire.Gauge != (model.Gauge{}) && wire.LengthMetres.Known {
			row.Ohms = model.Known(graphs.WireOhms(wire, celsius))
		}
		if at, found := machine.TerminalIndex(wire.From); found && !wire.Removed {
			row.Net = nets.List[nets.Of[at]].Name
			row.Proven = proven(wire.Name)
		}
		rows[i] = row
	}
	slices.SortFunc(rows, func(a, b WireRow) int { return model.Compare(a.Wire, b.Wire) })
	return rows
}

func (r WireRow) ohmText() string {
	if !r.Ohms.Known {
		return ""
	}
	return page.Digits(r.Ohms.Value)
}

func writeWireList(out io.Writer, form Form, job Job) error {
	wires := WireRows(job.Machine, job.Proven)
	switch form {
	case CSV:
		rows := [][]string{{"wire", "from", "to", "colour", "gauge", "length_m", "cable", "basis", "removed", "net", "proven", "ohm"}}
		for _, wire := range wires {
			rows = append(rows, []string{
				wire.Wire, wire.From, wire.To, wire.Colour, wire.Gauge, wire.LengthMetres.String(), wire.Cable, wire.Basis,
				yes(wire.Removed), wire.Net, yes(wire.Proven), wire.ohmText(),
			})
		}
		return writeCSV(out, rows)
	case JSON:
		return writeJSON(out, struct {
			Wires []WireRow `json:"wires"`
		}{wires})
	default:
		return layWireList(out, job, wires)
	}
}

func layWireList(out io.Writer, job Job, wires []WireRow) error {
	proven := 0
	rows := make([][]string, len(wires))
	for i, wire := range wires {
		state := wire.Basis
		switch {
		case wire.Removed:
			state = "removed"
		case wire.Proven:
			state = "proven"
			proven++
		}
		rows[i] = []string{
			wire.Wire, wire.From, wire.To, wire.Colour, wire.Gauge, wire.LengthMetres.String(), wire.ohmText(), wire.Net, wire.Cable, state,
		}
	}
	p := page.New(out, page.WidestWidth, false)
	head(p, job, "Wire list", fmt.Sprintf("%d wires, %d proven by readings", len(wires), proven))
	p.Table([]page.Column{
		{Title: "wire"}, {Title: "from"}, {Title: "to"}, {Title: "colour"}, {Title: "gauge"}, {Title: "m", Right: true},
		{Title: "ohm", Right: true}, {Title: "net"}, {Title: "cable", Wrap: true}, {Title: "state"},
	}, rows)
	return p.Flush()
}

func yes(is bool) string {
	if is {
		return "yes"
	}
	return ""
}
