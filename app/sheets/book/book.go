// Package book draws what is printed of a machine and hung up, filed or handed
// over: a door card, the chart over as many pages as it needs, trees of rails and
// returns, sheets for connectors and terminals, lists, checks and records.
//
// Each sheet is described once and drawn with a drawing.Pen: a preview, a PDF and
// SVG pages all come from the same pages. Make works the sheets out, Bind numbers
// the pages of those that go together, Write draws them into a document.
//
//	book.go binding.go   sheets, their pages, their numbers
//	paper.go page.go     sizes, what stands on one page
//	flow.go table.go     text and tables that break over pages
//	titleblock.go        what every page says of itself
//	facts.go             what is known of the machine, worked out once
//	chart*.go            the chart: where it is cut, what leads from page to page
//	the others           one sheet each
//
// Nothing here says that a circuit is safe.
package book

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"bellout/faults"
	"bellout/model"
	"bellout/model/store"
)

// Job is one printing: of which machine, in which state, when.
type Job struct {
	Title     string // the project's name
	Machine   *model.Machine
	Diagnosis *faults.Diagnosis  // of the machine, where there is one already; nil: it is made
	Journal   []store.JournalRow // the newest first, as store.File gives it; may be empty
	State     string             // as in "as found"; empty: not named
	Revision  string             // empty: the number of the last journal row
	Now       time.Time
	Paper     Paper
	// Photo returns the bytes of a picture by its hash; nil: pictures are left out
	// and their places say so.
	Photo func(hash string) ([]byte, error)
}

// Progress is told how far a part of the work is; it may be nil.
type Progress func(part string, done, total int)

// kind is one kind of sheet.
type kind struct {
	name, title string
	about       string // one line, for help and contents
	make        func(ctx context.Context, f *facts, s *Sheet) error
}

// kinds are all sheets, in the order of the book.
func kinds() []kind {
	return []kind{
		{"contents", "Contents", "what is in the book, and how to find a wire with it", makeContents},
		{"doorcard", "Door card", "one page to hang inside the door: supplies, where to isolate, stored energy, colours", makeDoorCard},
		{"chart", "Chart", "the drawing of the whole machine, over as many pages as it needs", makeChart},
		{"trees", "Rail and return trees", "from each supply out to its loads, and home again", makeTrees},
		{"connectors", "Connectors", "each plug: face, pins, mates and wires of both halves", makeConnectors},
		{"terminals", "Terminal plans", "each block and splice: wires on every point, jumpers, spares", makeTerminalPlans},
		{"devices", "Device register", "every device with its place, volts, amperes and state", makeRegister},
		ofSheet("wirelist"),
		ofSheet("netlist"),
		ofSheet("cables"),
		ofSheet("spares"),
		ofSheet("colours"),
		ofSheet("stayslive"),
		ofSheet("fuses"),
		{"supplycheck", "Supply load check", "what each supply has to give, against what it can", makeSupplyCheck},
		{"fusecheck", "Fuse and wire check", "each fuse against the thinnest wire behind it", makeFuseCheck},
		{"bonding", "Bonding", "where returns meet, and where they meet earth", makeBonding},
		{"testrecord", "Test record", "every reading with limit and verdict, and lines for more", makeTestRecord},
		{"loadtest", "Load test", "where the probes go with the machine running, and how far volts may drop", makeLoadTest},
		{"bringup", "Bring-up plan", "first power after a repair, in stages, with values at which to stop", makeBringUp},
		{"faultlog", "Fault and repair log", "what was found, what was struck out, what was changed", makeFaultLog},
		ofSheet("history"),
		{"photos", "Photo index", "the pictures pinned to devices", makePhotos},
		{"changes", "Change log", "every edit of the map", makeChanges},
	}
}

// Kind names one kind of sheet for help and choice.
type Kind struct{ Name, Title, About string }

// Kinds lists every kind of sheet, in the order of the book.
func Kinds() []Kind {
	list := make([]Kind, len(kinds()))
	for i, k := range kinds() {
		list[i] = Kind{k.name, k.title, k.about}
	}
	return list
}

// Sheet is one description of something that is printed: pages, each of which can
// be drawn with any pen once the sheet is bound.
type Sheet struct {
	Name  string // as in export --as NAME
	Title string
	pages []*page
	facts *facts
}

// Pages returns how many pages the sheet has; at least one.
func (s *Sheet) Pages() int { return len(s.pages) }

// Make works out sheets: those named, in the order of the book, or all. It ends
// with ctx's error when it is stopped, and else only with one that names a sheet
// that there is not. The machine must not change meanwhile. Cost: that of judging
// the readings, of placing the chart where it is asked for, and linear.
func Make(ctx context.Context, job Job, progress Progress, names ...string) ([]*Sheet, error) {
	for _, name := range names {
		if !slices.ContainsFunc(kinds(), func(k kind) bool { return k.name == name }) {
			return nil, fmt.Errorf("no sheet %q; write one of %s", name, strings.Join(kindNames(), ", "))
		}
	}
	if progress == nil {
		progress = func(string, int, int) {}
	}
	f, err := newFacts(ctx, job, progress)
	if err != nil {
		return nil, err
	}
	var wanted []kind
	for _, k := range kinds() {
		if len(names) == 0 || slices.Contains(names, k.name) {
			wanted = append(wanted, k)
		}
	}
	f.whole = len(names) == 0
	f.withChart = slices.ContainsFunc(wanted, func(k kind) bool { return k.name == "chart" })
	if f.withChart {
		if err := f.placeChart(ctx); err != nil {
			return nil, err
		}
	}
	sheets := make([]*Sheet, 0, len(wanted))
	for i, k := range wanted {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		progress("Sheets", i, len(wanted))
		s := &Sheet{Name: k.name, Title: k.title, facts: f}
		if err := k.make(ctx, f, s); err != nil {
			return nil, err
		}
		if len(s.pages) == 0 {
			return nil, fmt.Errorf("sheet %s came out without a page", k.name)
		}
		s.pages[0].anchor(sheetAnchor(k.name), 0, 0, k.title)
		sheets = append(sheets, s)
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	progress("Sheets", len(wanted), len(wanted))
	return sheets, nil
}

func kindNames() []string {
	names := make([]string, len(kinds()))
	for i, k := range kinds() {
		names[i] = k.name
	}
	return names
}

func sheetAnchor(name string) string { return "sheet " + name }
func deviceAnchor(ref string) string { return "device " + ref }
func wireAnchor(name string) string  { return "wire " + name }
func plugAnchor(ref string) string   { return "plug " + ref }
func chartAnchor(page int) string    { return fmt.Sprint("chart ", page) }
