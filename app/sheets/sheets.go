// Package sheets prints what outlives the repair: the net list and the wire
// list of a machine, its tables as a workbook that comes in again, and its graph
// for other programs.
//
// A table is described once (Column in table.go); every form reads that.
package sheets

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"bellout/faults"
	"bellout/model"
	"bellout/model/wording"
)

// Form is how a sheet is written; it is the ending of the file.
type Form string

// The forms.
const (
	CSV     Form = "csv"
	JSON    Form = "json"
	Txt     Form = "txt"
	XLSX    Form = "xlsx"
	GraphML Form = "graphml"
)

// tableForms are those that every table has.
var tableForms = []Form{CSV, JSON, Txt, XLSX}

// Job is one printing: of which machine, when.
type Job struct {
	Title   string // the project's name, for the head of a page
	Printed time.Time
	Machine *model.Machine
	// Diagnosis of the machine, where there is one already; nil: a sheet that needs
	// one makes it.
	Diagnosis *faults.Diagnosis
	Wires     []WireRow // where they were worked out already
	// Progress is told now and then how far a part of the work is; it may be nil.
	Progress func(part string, done, total int)
}

// diagnosed returns the job's known.
func (j Job) diagnosed() *faults.Diagnosis {
	if j.Diagnosis != nil {
		return j.Diagnosis
	}
	return faults.Diagnose(j.Machine)
}

// step tells how far the work is, and returns an error where it shall end.
func (j Job) step(ctx context.Context, part string, done, total int) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	if j.Progress != nil {
		j.Progress(part, done, total)
	}
	return nil
}

// Sheet is one kind of sheet.
type Sheet struct {
	Name string // as in export --as NAME
	// Heading stands over the table of a sheet, and in the contents of a book.
	Heading string
	Title   string // one line
	Forms   []Form // those it can be written in
	// Table works out what stands on it, for every form and for a drawn page; nil:
	// it is no table. It ends early, with the context's error, when the context does.
	Table func(ctx context.Context, job Job) (*Table, error)
	write func(ctx context.Context, out io.Writer, form Form, job Job) error // of what is no table
}

// Write writes the sheet in one of its forms.
func (s Sheet) Write(ctx context.Context, out io.Writer, form Form, job Job) error {
	if s.write != nil {
		return s.write(ctx, out, form, job)
	}
	table, err := s.Table(ctx, job)
	if err != nil {
		return err
	}
	return table.write(ctx, out, form, job)
}

// Sheets are all kinds of sheet, in the order of the help.
var Sheets = []Sheet{
	{Name: "netlist", Heading: "Net list", Title: "every net with its source, terminals and wires, and what proves it", Forms: tableForms, Table: NetList},
	{Name: "wirelist", Heading: "Wire list", Title: "every wire from end to end: copper, fuse, current, drop, status", Forms: tableForms, Table: WireList},
	{Name: "fuses", Heading: "Fuse chart", Title: "each fuse: its size, its wire, what it feeds", Forms: tableForms, Table: fuseChart},
	{Name: "stayslive", Heading: "What stays live with the plug out", Title: "what stays live with the plug out, and how it is taken off", Forms: tableForms, Table: staysLive},
	{Name: "cables", Heading: "Cable schedule", Title: "each cable: its ends, its cores, how long it is", Forms: tableForms, Table: cableSchedule},
	{Name: "spares", Heading: "Spares", Title: "points of plugs, blocks, fuses and outputs with no wire", Forms: tableForms, Table: spares},
	{Name: "colours", Heading: "Colours that mean two rails", Title: "colours that mean more than one rail, with their wires", Forms: tableForms, Table: colourClashes},
	{Name: "history", Heading: "Fault history", Title: "what failed, what it did, what was replaced, in the order of time", Forms: tableForms, Table: faultHistory},
	{Name: "workbook", Title: "the tables as a spreadsheet, which import reads again", Forms: []Form{XLSX}, write: writeWorkbook},
	{Name: "graphml", Title: "terminals, wires and links as a graph for other programs", Forms: []Form{GraphML}, write: writeGraphML},
	{Name: "edges", Title: "the same graph as a list of what joins which two terminals", Forms: tableForms, write: writeEdges},
	{Name: "labels", Title: "wire markers for both ends, device tags, plug halves, for a label printer", Forms: tableForms, write: writeLabels},
}

// FormOf reads the form off the ending of a file's name.
func (s Sheet) FormOf(path string) (Form, error) {
	ending := strings.ToLower(strings.TrimPrefix(filepath.Ext(path), "."))
	if slices.Contains(s.Forms, Form(ending)) {
		return Form(ending), nil
	}
	if ending == "" {
		return "", fmt.Errorf("%s has no ending; end it in %s", path, s.Endings())
	}
	return "", fmt.Errorf("%s ends in .%s; end it in %s", path, ending, s.Endings())
}

// Endings says in words what the name of a file of this sheet may end in.
func (s Sheet) Endings() string {
	words := make([]string, len(s.Forms))
	for i, form := range s.Forms {
		words[i] = "." + string(form)
	}
	return wording.Or(words)
}
