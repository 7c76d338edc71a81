package graphs

import (
	"fmt"

	"bellout/model"
)

// bench builds small machines for tests: terminals are named by what stands
// before and after the colon of their reference.
type bench struct {
	t failer
	m *model.Machine
	e model.Edit
	n int
	d map[string]bool
}

// failer is what a test and a drawn test have in common.
type failer interface {
	Helper()
	Fatal(args ...any)
	Fatalf(format string, args ...any)
}

func newBench(t failer) *bench {
	return &bench{t: t, m: model.NewMachine(), d: map[string]bool{}}
}

func (b *bench) add(row model.Row) { b.e.Changes = append(b.e.Changes, model.Change{After: row}) }

func (b *bench) device(d model.Device) {
	b.d[d.Ref] = true
	if d.Health == "" {
		d.Health = model.HealthUnknown
	}
	b.add(d)
}

func (b *bench) terminal(text string, role model.Role, volts ...float64) {
	ref, err := model.ParseTerminalRef(text)
	if err != nil {
		b.t.Fatal(err)
	}
	if !b.d[ref.Device] {
		b.device(model.Device{Ref: ref.Device})
	}
	terminal := model.Terminal{Device: ref.Device, Mark: ref.Mark, Role: role}
	if len(volts) > 0 {
		terminal.Volts = model.Known(volts[0])
	}
	b.add(terminal)
}

func (b *bench) link(device, from, to string, kind model.LinkKind, value float64, state ...model.LinkState) {
	link := model.Link{Device: device, From: from, To: to, Kind: kind}
	if kind == model.LinkResistance || kind == model.LinkFuse || kind == model.LinkCapacitance {
		link.Value = model.Known(value)
	}
	if len(state) > 0 {
		link.State = state[0]
	}
	b.add(link)
}

// wire joins two terminals by copper of some ohms, in AWG 20.
func (b *bench) wire(from, to string, ohms float64) string {
	b.n++
	name := fmt.Sprintf("W%d", b.n)
	f, err := model.ParseTerminalRef(from)
	if err != nil {
		b.t.Fatal(err)
	}
	g, err := model.ParseTerminalRef(to)
	if err != nil {
		b.t.Fatal(err)
	}
	gauge := model.Gauge{System: model.GaugeAWG, AWG: 20}
	b.add(model.Wire{Name: name, Basis: model.BasisPlanned, From: f, To: g, Gauge: gauge, LengthMetres: model.Known(ohms / CopperOhmsPerMetre(gauge, 20))})
	return name
}

func (b *bench) circuit() *Circuit {
	b.t.Helper()
	if err := b.m.Apply(b.e); err != nil {
		b.t.Fatal(err)
	}
	b.e = model.Edit{}
	return NewCircuit(b.m, nil)
}

func (b *bench) at(text string) int {
	b.t.Helper()
	ref, err := model.ParseTerminalRef(text)
	if err != nil {
		b.t.Fatal(err)
	}
	t, found := b.m.TerminalIndex(ref)
	if !found {
		b.t.Fatalf("no terminal %s", text)
	}
	return t
}
