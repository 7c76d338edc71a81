package sheets

import (
	"context"
	"fmt"
	"slices"
	"time"

	"bellout/faults"
	"bellout/graphs"
	"bellout/model"
	"bellout/model/wording"
)

// NetRow is one net as people and files see it.
type NetRow struct {
	Name      string
	Kind      string
	Volts     model.Optional // of its rails, 0 for a return; unknown elsewhere, and where rails of different volts meet
	Terminals []string
	Wires     []string
}

// NetRows returns the nets of the machine at rest, in the order of graphs.Nets.
func NetRows(machine *model.Machine) []NetRow {
	return netRowsOf(graphs.NewCircuit(machine, nil))
}

func netRowsOf(circuit *graphs.Circuit) []NetRow {
	nets := circuit.Nets()
	names := newTerminalNames(circuit.Machine)
	rows := make([]NetRow, len(nets.List))
	for i, net := range nets.List {
		row := NetRow{
			Name: net.Name, Kind: string(net.Kind), Volts: netVolts(circuit, net),
			Terminals: make([]string, len(net.Terminals)), Wires: make([]string, len(net.Wires)),
		}
		for at, terminal := range net.Terminals {
			row.Terminals[at] = names[terminal]
		}
		for at, element := range net.Wires {
			row.Wires[at] = circuit.Machine.Wires[element].Name
		}
		rows[i] = row
	}
	return rows
}

// newTerminalNames writes DEVICE:MARK of every terminal, by its place.
func newTerminalNames(m *model.Machine) []string {
	names := make([]string, len(m.Terminals))
	for at, terminal := range m.Terminals {
		names[at] = terminal.Device + ":" + terminal.Mark
	}
	return names
}

func netVolts(circuit *graphs.Circuit, net graphs.Net) model.Optional {
	if net.Kind == graphs.NetReturn {
		return model.Known(0)
	}
	var volts model.Optional
	for _, at := range net.Terminals {
		terminal := &circuit.Machine.Terminals[at]
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

// netRow is a net with where its volts come from and what proves it.
type netRow struct {
	NetRow
	source  faults.Source
	proven  int     // of its wires, how many readings prove
	numbers []int64 // the readings that do, rising
	last    time.Time
}

// sourceText names the source; a net that it reaches only by way of something
// says so.
func (r *netRow) sourceText() []string {
	if r.source.Through && len(r.source.Devices) > 0 {
		return append([]string{"through"}, r.source.Devices...)
	}
	return r.source.Devices
}

var netFields = []field[netRow]{
	{Column{Name: "net", Key: "name", About: "The net's name; unique in the machine.", Wrap: true}, text(func(r *netRow) string { return r.Name })},
	{Column{Name: "kind", About: "rail, return, earth, line, neutral, drive, signal or other."}, text(func(r *netRow) string { return r.Kind })},
	{Column{Name: "volts", Kind: Number, Unit: "V", About: "Nominal volts of its rail, 0 for a return; empty where it has none, or where rails of different volts meet."},
		number(func(r *netRow) model.Optional { return r.Volts })},
	{Column{Name: "terminals", Kind: List, Wrap: true, Mono: true, About: "Every terminal in the net, as DEVICE:TERMINAL."}, list(func(r *netRow) []string { return r.Terminals })},
	{Column{Name: "wires", Kind: List, Wrap: true, Mono: true, About: "Every wire in the net that has not been removed."}, list(func(r *netRow) []string { return r.Wires })},
	{Column{Name: "source", Kind: List, Below: "source %s", About: "The supply or inlet that the net belongs to; after the word through, what reaches it by way of switches, fuses or drivers."},
		list(func(r *netRow) []string { return r.sourceText() })},
	{Column{Name: "wires_proven", Title: "proven", Kind: Number, Below: "%s of its wires proven", About: "How many of its wires the readings prove."},
		func(r *netRow) Cell {
			if len(r.Wires) == 0 {
				return Cell{}
			}
			return Cell{Number: model.Known(float64(r.proven)), Drawn: fmt.Sprintf("%d of %d", r.proven, len(r.Wires))}
		}},
	{Column{Name: "readings", Kind: Numbers, NotDrawn: true, Below: " by readings %s", About: "The numbers of the readings that prove wires of the net."},
		list(func(r *netRow) []string { return numbers(r.numbers) })},
	{Column{Name: "proven_at", Title: "last", Kind: Moment, Below: ", the last %s", About: "When the latest of those readings was taken; empty where none has a time."}, moment(func(r *netRow) time.Time { return r.last })},
}

// netListRows reads the map and the readings.
func netListRows(ctx context.Context, job Job) ([]netRow, error) {
	d := job.diagnosed()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	circuit := d.Analysis().AsDrawn
	nets := circuit.Nets()
	plain := netRowsOf(circuit)
	sources := d.Analysis().Sources()
	taken := map[int64]time.Time{}
	for _, reading := range job.Machine.Readings {
		taken[reading.Number] = reading.At
	}
	rows := make([]netRow, len(plain))
	for at := range rows {
		row := netRow{NetRow: plain[at], source: sources[at]}
		for _, element := range nets.List[at].Wires {
			if by := d.ProvenBy(job.Machine.Wires[element].Name); len(by) > 0 {
				row.proven++
				row.numbers = append(row.numbers, by...)
			}
		}
		slices.Sort(row.numbers)
		row.numbers = slices.Compact(row.numbers)
		for _, number := range row.numbers {
			if when := taken[number]; when.After(row.last) {
				row.last = when
			}
		}
		rows[at] = row
	}
	return rows, nil
}

// NetList is the net list as a table.
func NetList(ctx context.Context, job Job) (*Table, error) {
	rows, err := netListRows(ctx, job)
	if err != nil {
		return nil, err
	}
	wires, proven, lone := 0, 0, 0
	for i := range rows {
		wires, proven = wires+len(rows[i].Wires), proven+rows[i].proven
		if len(rows[i].Wires) == 0 {
			lone++
		}
	}
	counts := fmt.Sprintf("%d nets, %d of %d wires proven by readings", len(rows), proven, wires)
	t := newTable("nets", "Net list", counts, netFields, rows)
	t.Note = fmt.Sprintf("%s without a wire, each a net of its own, left out here: the net list as a file has them. Nets are those of the machine at rest: contacts as the map has them.", wording.Count(lone, "terminal"))
	t.LeftOut = func(i int) bool { return len(rows[i].Wires) == 0 }
	t.Group = func(i int) string { return netKindWords(graphs.NetKind(rows[i].Kind)) }
	return t, nil
}

func netKindWords(k graphs.NetKind) string {
	switch k {
	case graphs.NetRail:
		return "Rails"
	case graphs.NetReturn:
		return "Returns: 0 V of supplies"
	case graphs.NetEarth:
		return "Earth"
	case graphs.NetLine, graphs.NetNeutral:
		return "Mains (" + string(k) + "): for licensed people"
	case graphs.NetDrive:
		return "Switched outputs"
	case graphs.NetSignal:
		return "Signals"
	}
	return "Others"
}
