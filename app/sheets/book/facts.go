package book

import (
	"context"
	"fmt"
	"image"
	"slices"
	"strconv"
	"strings"
	"time"

	"bellout/app/sheets"
	"bellout/faults"
	"bellout/graphs"
	"bellout/model"
)

// facts are what sheets are made of, worked out once for all of them.
type facts struct {
	job      Job
	m        *model.Machine // in reading order
	settings model.Settings
	known    *faults.Diagnosis
	bench    *faults.Analysis
	report   *faults.Report
	nets     *graphs.Nets // of the machine at rest, as it is drawn
	wires    []sheets.WireRow
	wireAt   map[string]*sheets.WireRow
	ends     map[model.TerminalRef][]*sheets.WireRow // wires that are not removed, by terminal
	marks    map[string][]model.Terminal             // by device
	links    map[string][]model.Link                 // by device
	parts    *graphs.Parts

	whole     bool // every sheet is made
	withChart bool
	chart     *chartPlan
	progress  Progress
	pictures  map[string]image.Image // decoded, by hash and turn
}

func newFacts(ctx context.Context, job Job, progress Progress) (*facts, error) {
	if job.Paper == "" {
		job.Paper = A4
	}
	f := &facts{job: job, progress: progress, m: job.Machine.Sorted()}
	progress("Readings", 0, len(f.m.Readings))
	f.known = job.Diagnosis
	if f.known == nil {
		var err error
		if f.known, err = faults.DiagnoseInSteps(ctx, job.Machine, nil); err != nil {
			return nil, err
		}
	}
	f.settings = f.m.Settings()
	f.bench, f.report = f.known.Analysis(), f.known.Report()
	f.nets = f.bench.AsDrawn.Nets()
	f.parts = f.bench.Parts
	f.wires = sheets.WireRows(sheets.Job{Machine: f.known.Analysis().Machine, Diagnosis: f.known})
	f.wireAt = make(map[string]*sheets.WireRow, len(f.wires))
	f.ends = make(map[model.TerminalRef][]*sheets.WireRow, 2*len(f.wires))
	for i := range f.wires {
		row := &f.wires[i]
		f.wireAt[row.Name] = row
		if row.Removed {
			continue
		}
		f.ends[row.From] = append(f.ends[row.From], row)
		f.ends[row.To] = append(f.ends[row.To], row)
	}
	f.marks, f.links = map[string][]model.Terminal{}, map[string][]model.Link{}
	for _, t := range f.m.Terminals {
		f.marks[t.Device] = append(f.marks[t.Device], t)
	}
	for _, l := range f.m.Links {
		f.links[l.Device] = append(f.links[l.Device], l)
	}
	progress("Readings", len(f.m.Readings), len(f.m.Readings))
	return f, ctx.Err()
}

// machine is the one whose places the bench, nets and parts count.
func (f *facts) machine() *model.Machine { return f.bench.Machine }

// netOf returns the net of a terminal; nil where the machine does not have it.
func (f *facts) netOf(ref model.TerminalRef) *graphs.Net {
	at, there := f.machine().TerminalIndex(ref)
	if !there {
		return nil
	}
	return f.nets.Net(at)
}

func (f *facts) netName(ref model.TerminalRef) string {
	if net := f.netOf(ref); net != nil {
		return net.Name
	}
	return ""
}

func (f *facts) title(device string) string {
	d, _ := f.m.Device(device)
	return d.Title
}

// called names a device with its title.
func (f *facts) called(device string) string {
	if title := f.title(device); title != "" {
		return device + " " + title
	}
	return device
}

// other returns the end of a wire that is not the given one.
func other(w *sheets.WireRow, ref model.TerminalRef) model.TerminalRef {
	if w.From == ref {
		return w.To
	}
	return w.From
}

// wireLooks is colour and gauge in a few letters.
func wireLooks(w *sheets.WireRow) string {
	return strings.TrimSpace(string(w.Colour) + " " + w.Gauge.String())
}

func (f *facts) devicesOf(kinds ...model.DeviceKind) []model.Device {
	var list []model.Device
	for _, d := range f.m.Devices {
		if slices.Contains(kinds, d.Kind.Known()) {
			list = append(list, d)
		}
	}
	return list
}

// revision is what tells this printing from the one before.
func (f *facts) revision() string {
	switch {
	case f.job.Revision != "":
		return f.job.Revision
	case len(f.job.Journal) > 0:
		return fmt.Sprint("edit ", f.job.Journal[0].ID)
	}
	return "–"
}

func (f *facts) coverage() string {
	p := f.report.Proven
	return fmt.Sprintf("%d of %d wires proven", p.Wires, p.OfWires)
}

// Words for numbers.

func digits(n int) string { return strconv.Itoa(n) }

// amount prints a number with its unit; empty where it is not known.
func amount(o model.Optional, unit string) string {
	if !o.Known {
		return ""
	}
	return model.Figures(o.Value) + " " + unit
}

func figure(value float64, unit string) string { return model.Figures(value) + " " + unit }

// volts prints nominal volts with their sign, as rails are named.
func volts(o model.Optional) string {
	if !o.Known {
		return "? V"
	}
	text := model.FormatNumber(o.Value) + " V"
	if o.Value > 0 {
		text = "+" + text
	}
	return text
}

func day(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("2006-01-02")
}

func minute(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("2006-01-02 15:04")
}

// shown is what the meter showed, with its unit.
func shown(r model.Reading) string {
	if r.Value.Kind != model.ShowsNumber {
		return r.Value.String()
	}
	text := model.NotedFigures(r.Value.Number)
	switch r.Mode {
	case model.ModeOhms:
		return text + " Ω"
	case model.ModeDiode, model.ModeVoltsDC, model.ModeVoltsAC:
		return text + " V"
	}
	return text
}
