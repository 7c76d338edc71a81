package sheets

import (
	"fmt"
	"io"
	"strings"

	"bellout/app/page"
	"bellout/graphs"
	"bellout/model"
)

// NetRow is one net as people and files see it.
type NetRow struct {
	Name      string         `json:"name"`
	Kind      string         `json:"kind"`
	Volts     model.Optional `json:"volts"` // of its rails, 0 for a return; unknown elsewhere, and where rails of different volts meet
	Terminals []string       `json:"terminals"`
	Wires     []string       `json:"wires"`
}

// NetRows returns the nets of the machine at rest, in the order of graphs.Nets.
func NetRows(machine *model.Machine) []NetRow {
	circuit := graphs.NewCircuit(machine, nil)
	nets := circuit.Nets()
	rows := make([]NetRow, len(nets.List))
	for i, net := range nets.List {
		row := NetRow{
			Name: net.Name, Kind: string(net.Kind), Volts: netVolts(circuit, net),
			Terminals: make([]string, len(net.Terminals)), Wires: make([]string, len(net.Wires)),
		}
		for at, terminal := range net.Terminals {
			row.Terminals[at] = circuit.Ref(terminal).String()
		}
		for at, element := range net.Wires {
			row.Wires[at] = machine.Wires[circuit.Elements[element].Row].Name
		}
		rows[i] = row
	}
	return rows
}

func netVolts(circuit *graphs.Circuit, net graphs.Net) model.Optional {
	if net.Kind == graphs.NetReturn {
		return model.Known(0)
	}
	var volts model.Optional
	for _, at := range net.Terminals {
		terminal := circuit.Machine.Terminals[at]
		if terminal.Role != model.RoleRail {
			continue
		}
		if volts.Known && volts != terminal.Volts || !terminal.Volts.Known {
			return model.Optional{}
		}
		volts = terminal.Volts
	}
	return volts
}

func writeNetList(out io.Writer, form Form, job Job) error {
	nets := NetRows(job.Machine)
	switch form {
	case CSV:
		rows := [][]string{{"net", "kind", "volts", "terminals", "wires"}}
		for _, net := range nets {
			rows = append(rows, []string{net.Name, net.Kind, net.Volts.String(), strings.Join(net.Terminals, " "), strings.Join(net.Wires, " ")})
		}
		return writeCSV(out, rows)
	case JSON:
		return writeJSON(out, struct {
			Nets []NetRow `json:"nets"`
		}{nets})
	default:
		p := page.New(out, page.WidestWidth, false)
		head(p, job, "Net list", fmt.Sprintf("%d nets", len(nets)))
		rows := make([][]string, len(nets))
		for i, net := range nets {
			rows[i] = []string{net.Name, net.Kind, net.Volts.String(), strings.Join(net.Terminals, " "), strings.Join(net.Wires, " ")}
		}
		p.Table([]page.Column{
			{Title: "net"}, {Title: "kind"}, {Title: "volts", Right: true}, {Title: "terminals", Wrap: true}, {Title: "wires", Wrap: true},
		}, rows)
		return p.Flush()
	}
}
