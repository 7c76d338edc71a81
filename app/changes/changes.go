// Package changes says what became of a machine: between two named states of one
// file, or between two files. It knows what differs in words of the trade, which
// findings came and went, what has to be verified again and by which probes, what
// joins where when a device is replaced, and what two people's work cannot both
// be. It knows no window and no file.
//
//	changes.go words.go findings.go   what differs
//	again.go                          what must be verified again, as probes
//	replace*.go                       a device comes out, another one goes in
//	conflict.go                       two laptops, one file
package changes

import (
	"context"
	"slices"

	"bellout/faults"
	"bellout/model"
	"bellout/model/compare"
)

// Report is what differs between two machines.
type Report struct {
	From string `json:"from"` // the names of the two states, or files
	To   string `json:"to"`
	// Groups hold what differs, in the order in which a person asks for it; those
	// in which nothing does are left out. Never nil.
	Groups []Group `json:"groups"`
	// Gone and New are the findings that one has and the other has not. Never nil.
	Gone []faults.Finding `json:"findings_gone"`
	New  []faults.Finding `json:"findings_new"`
	// Proven says how much readings prove, before and after.
	ProvenBefore faults.Proven `json:"proven_before"`
	ProvenAfter  faults.Proven `json:"proven_after"`

	Rows *compare.Comparison `json:"-"`
}

// Empty says whether nothing differs, findings included.
func (r *Report) Empty() bool { return len(r.Groups)+len(r.Gone)+len(r.New) == 0 }

// Group is all that differs in one way.
type Group struct {
	Name    string  `json:"name"` // for programs, as in wires_moved
	Title   string  `json:"title"`
	Entries []Entry `json:"entries"` // never empty
}

// Entry is one thing that differs.
type Entry struct {
	// Name is the wire, the device, DEVICE:TERMINAL or the number of the reading;
	// of other rows what they are known by.
	Name  string `json:"name"`
	Words string `json:"words"`
	// Device, Wires and Terminals are what to bring out for it on the chart, as far
	// as it is there.
	Device    string   `json:"-"`
	Wires     []string `json:"-"`
	Terminals []string `json:"-"`
}

// Sides are two machines with what is known of them; see Look.
type Sides struct {
	From, To      string
	Before, After *model.Machine
	was, is       *faults.Diagnosis
	rows          *compare.Comparison
}

// newlyStale are the readings that held before and hold no longer: what was stale
// already is no difference.
func newlyStale(before, after *model.Machine) []int64 {
	was := faults.Stale(before)
	return slices.DeleteFunc(faults.Stale(after), func(number int64) bool { return slices.Contains(was, number) })
}

// Look takes two machines, which must not change as long as the sides are used,
// and judges them. Error: that of ctx. Cost: that of judging both.
func Look(ctx context.Context, from string, before *model.Machine, to string, after *model.Machine) (*Sides, error) {
	s := &Sides{From: from, To: to, Before: before, After: after}
	s.rows = compare.Machines(before, after, newlyStale(before, after))
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	var err error
	if s.was, err = faults.DiagnoseInSteps(ctx, before, nil); err != nil {
		return nil, err
	}
	s.is, err = faults.DiagnoseInSteps(ctx, after, nil)
	return s, err
}

// Report says what differs.
func (s *Sides) Report() *Report {
	was, is := s.was.Report(), s.is.Report()
	r := &Report{
		From: s.From, To: s.To, Groups: groupsOf(s.rows, s.Before, s.After), Rows: s.rows,
		Gone: missing(was.Findings, is.Findings), New: missing(is.Findings, was.Findings),
		ProvenBefore: was.Proven, ProvenAfter: is.Proven,
	}
	return r
}
