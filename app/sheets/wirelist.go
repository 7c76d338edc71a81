package sheets

import (
	"context"
	"fmt"
	"slices"
	"time"

	"bellout/faults"
	"bellout/graphs"
	"bellout/model"
)

// Status says how far a wire of the list is to be trusted.
type Status string

// The statuses.
const (
	StatusProven       Status = "proven"       // standing readings prove it
	StatusContradicted Status = "contradicted" // a finding of the readings blames it
	StatusProbed       Status = "probed"       // the meter found it, and no standing reading proves it now
	StatusSeen         Status = "seen"
	StatusJoined       Status = "joined" // the meter found its ends joined, nobody has seen a wire
	StatusPlanned      Status = "planned"
	StatusRemoved      Status = "removed"
)

// WireRow is one wire as people and files see it.
type WireRow struct {
	model.Wire
	Net    string         // empty for a removed wire
	Status Status         //
	Proven bool           // by the readings
	Ohms   model.Optional // of its copper at the machine's ambient_c; unknown without gauge or length

	Fuses       []string       // nearest upstream, see faults.Duty
	FuseAmps    model.Optional // the largest of them; unknown if one of them is
	CurrentAmps model.Optional
	DropVolts   model.Optional

	MeasuredOhms model.Optional // the latest reading from end to end, leads taken off
	MeasuredAt   time.Time
	Readings     []int64 // that prove it, rising
}

// WireRows returns every wire, removed ones too, sorted by name.
func WireRows(job Job) []WireRow {
	if job.Wires != nil {
		return job.Wires
	}
	s := job.diagnosed()
	b := s.Analysis()
	machine := job.Machine
	nets := b.AsDrawn.Nets()
	celsius := machine.Settings().AmbientCelsius
	duties := b.Duties()
	blamed := blamedWires(s.Report())
	measured := measuredWires(s, machine)
	fuses := newFuseNames(machine)
	rows := make([]WireRow, len(machine.Wires))
	for i, wire := range machine.Wires {
		row := WireRow{Wire: wire, Readings: slices.Clone(s.ProvenBy(wire.Name))}
		slices.Sort(row.Readings)
		if wire.Gauge != (model.Gauge{}) && wire.LengthMetres.Known {
			row.Ohms = model.Known(graphs.WireOhms(wire, celsius))
		}
		if at, found := machine.TerminalIndex(wire.From); found && !wire.Removed {
			row.Net = nets.Name(at)
			row.Proven = len(row.Readings) > 0
			duty := duties[i]
			row.CurrentAmps, row.DropVolts = duty.Amps, duty.DropVolts
			row.Fuses, row.FuseAmps = fuses.of(duty.Fuses)
			row.MeasuredOhms, row.MeasuredAt = measured[i].ohms, measured[i].at
		}
		row.Status = statusOf(&row, blamed[wire.Name])
		rows[i] = row
	}
	slices.SortFunc(rows, func(a, b WireRow) int { return model.Compare(a.Name, b.Name) })
	return rows
}

func statusOf(row *WireRow, blamed bool) Status {
	switch {
	case row.Removed:
		return StatusRemoved
	case blamed:
		return StatusContradicted
	case row.Proven:
		return StatusProven
	case row.Basis == model.BasisJoined:
		return StatusJoined
	case row.Basis == model.BasisProbed:
		return StatusProbed
	case row.Basis == model.BasisSeen:
		return StatusSeen
	default:
		return StatusPlanned
	}
}

// blamedWires are the wires that the readings speak against: those that findings
// name as the culprit of an open, a bad joint or an exchange.
func blamedWires(report *faults.Report) map[string]bool {
	blamed := map[string]bool{}
	for _, finding := range report.Findings {
		if len(finding.Readings) == 0 || !slices.Contains([]string{"open", "high-resistance", "swapped"}, finding.Rule) {
			continue
		}
		culprits := finding.Culprit.Wires
		if len(finding.Culprit.Wires)+len(finding.Culprit.Terminals)+len(finding.Culprit.Devices) == 0 {
			culprits = finding.Wires
		}
		for _, name := range culprits {
			blamed[name] = true
		}
	}
	return blamed
}

// measurement is what the meter last showed from end to end of a wire.
type measurement struct {
	ohms   model.Optional
	at     time.Time
	number int64
}

// measuredWires finds, for each wire by its place, the latest standing fresh
// reading of ohms between its two ends, with the wire itself in place.
func measuredWires(s *faults.Diagnosis, m *model.Machine) []measurement {
	type pair struct{ a, b model.TerminalRef }
	between := map[pair][]model.Reading{}
	for _, r := range m.Readings {
		if r.Mode != model.ModeOhms || r.Value.Kind != model.ShowsNumber || !s.Counts(r.Number) {
			continue
		}
		between[pair{r.Red, r.Black}] = append(between[pair{r.Red, r.Black}], r)
		between[pair{r.Black, r.Red}] = append(between[pair{r.Black, r.Red}], r)
	}
	lead := m.Settings().LeadOhms
	found := make([]measurement, len(m.Wires))
	for i, wire := range m.Wires {
		for _, r := range between[pair{wire.From, wire.To}] {
			later := r.At.After(found[i].at) || r.At.Equal(found[i].at) && r.Number > found[i].number
			if !later || liftedIn(r, wire.Name) {
				continue
			}
			found[i] = measurement{model.Known(max(0, r.Value.Number-lead)), r.At, r.Number}
		}
	}
	return found
}

func liftedIn(r model.Reading, wire string) bool {
	return slices.ContainsFunc(r.Conditions, func(c model.Condition) bool { return c.Kind == model.Lifted && c.Wire == wire })
}

// fuseNames knows which devices hold one fuse only: those need no marks.
type fuseNames struct {
	m     *model.Machine
	count map[string]int
}

func newFuseNames(m *model.Machine) fuseNames {
	names := fuseNames{m, map[string]int{}}
	for _, link := range m.Links {
		if link.Kind == model.LinkFuse {
			names.count[link.Device]++
		}
	}
	return names
}

func (f fuseNames) of(links []int) (names []string, amps model.Optional) {
	for i, at := range links {
		link := f.m.Links[at]
		if f.count[link.Device] > 1 {
			names = append(names, link.Place())
		} else {
			names = append(names, link.Device)
		}
		switch {
		case i == 0:
			amps = link.Value
		case !amps.Known || !link.Value.Known:
			amps = model.Optional{}
		default:
			amps.Value = max(amps.Value, link.Value.Value)
		}
	}
	return names, amps
}

var wireFields = []field[WireRow]{
	{Column{Name: "wire", Mono: true, About: "The wire's name.", Wrap: true}, text(func(r *WireRow) string { return r.Name })},
	{Column{Name: "from", Mono: true, About: "One end, as DEVICE:TERMINAL.", Wrap: true}, text(func(r *WireRow) string { return r.From.String() })},
	{Column{Name: "to", Mono: true, About: "The other end.", Wrap: true}, text(func(r *WireRow) string { return r.To.String() })},
	{Column{Name: "colour", Swatch: true, About: "Letter code of IEC 60757."}, text(func(r *WireRow) string { return string(r.Colour) })},
	{Column{Name: "gauge", About: "AWG, or nominal area in mm2."}, text(func(r *WireRow) string { return r.Gauge.String() })},
	{Column{Name: "length_m", Title: "m", Kind: Number, Unit: "m", About: "Length in metres."}, number(func(r *WireRow) model.Optional { return r.LengthMetres })},
	{Column{Name: "cable", Below: "in %s", About: "The cable or loom that it runs in."}, text(func(r *WireRow) string { return r.Cable })},
	{Column{Name: "basis", FilesOnly: true, About: "How the map knows of it: planned, seen, probed, or joined by the meter with its way not seen."}, text(func(r *WireRow) string { return string(r.Basis) })},
	{Column{Name: "removed", Kind: YesNo, FilesOnly: true, About: "yes for a wire that was taken out."}, yesNo(func(r *WireRow) bool { return r.Removed })},
	{Column{Name: "net", Wrap: true, About: "The net that it belongs to; empty for a removed wire."}, text(func(r *WireRow) string { return r.Net })},
	{Column{Name: "proven", Kind: YesNo, FilesOnly: true, About: "yes where standing readings prove it."}, yesNo(func(r *WireRow) bool { return r.Proven })},
	{Column{Name: "ohm", NotDrawn: true, Kind: Number, Unit: "ohm", Computed: true, Below: "copper %s ohm", About: "Resistance of its copper by gauge, length and ambient_c; empty without them."},
		number(func(r *WireRow) model.Optional { return r.Ohms })},
	{Column{Name: "status", About: "proven: standing readings prove it. contradicted: readings blame it. seen, planned: as the map has it. probed: the meter found it, no standing reading proves it now. removed: taken out."},
		func(r *WireRow) Cell { return Cell{Text: string(r.Status), Alarm: r.Status == StatusContradicted} }},
	{Column{Name: "fuse", Kind: List, Below: "fuse %s", About: "The fuse or breaker nearest upstream; of a return, those in the feeds of its loads. Empty: the map shows none."},
		list(func(r *WireRow) []string { return r.Fuses })},
	{Column{Name: "fuse_a", Title: "size", Kind: Number, Unit: "A", Below: " of %s A", About: "Its amperes, of several the most."}, number(func(r *WireRow) model.Optional { return r.FuseAmps })},
	{Column{Name: "current_a", Title: "carries", Kind: Number, Unit: "A", Computed: true, Below: "carries %s A", About: "Current with the whole machine on and every load drawing its load_a; empty where none is known or nothing says how it divides."},
		number(func(r *WireRow) model.Optional { return r.CurrentAmps })},
	{Column{Name: "drop_v", Title: "drop", Kind: Number, Unit: "V", Computed: true, Below: "drops %s V", About: "What its copper takes of the volts at that current; this wire alone, not the way back."},
		number(func(r *WireRow) model.Optional { return r.DropVolts })},
	{Column{Name: "measured_ohm", Title: "measured", Kind: Number, Unit: "ohm", Computed: true, Below: "measured %s ohm", About: "The latest standing reading from end to end, leads taken off."},
		number(func(r *WireRow) model.Optional { return r.MeasuredOhms })},
	{Column{Name: "measured_at", NotDrawn: true, Kind: Moment, Below: " at %s", About: "When that reading was taken."}, moment(func(r *WireRow) time.Time { return r.MeasuredAt })},
	{Column{Name: "readings", NotDrawn: true, Kind: Numbers, Below: "proven by readings %s", About: "The numbers of the readings that prove it."}, list(func(r *WireRow) []string { return numbers(r.Readings) })},
}

// WireList is the wire list as a table.
func WireList(ctx context.Context, job Job) (*Table, error) {
	if err := job.step(ctx, "Wire list", 0, len(job.Machine.Wires)); err != nil {
		return nil, err
	}
	rows := WireRows(job)
	count := map[Status]int{}
	for i := range rows {
		count[rows[i].Status]++
	}
	counts := fmt.Sprintf("%d wires, %d proven by readings", len(rows), count[StatusProven])
	if blamed := count[StatusContradicted]; blamed > 0 {
		counts += fmt.Sprintf(", %d contradicted", blamed)
	}
	t := newTable("wires", "Wire list", counts, wireFields, rows)
	for _, status := range []Status{StatusProbed, StatusSeen, StatusJoined, StatusPlanned, StatusRemoved} {
		if count[status] > 0 {
			t.Note += fmt.Sprintf("%d %s. ", count[status], status)
		}
	}
	t.Note += "Carries: the whole machine on, every load drawing its load_a. Drop: of this wire alone, not the way back. Measured: the latest standing reading from end to end, leads taken off."
	t.Wire = func(i int) string { return rows[i].Name }
	return t, nil
}
