package session

import (
	"path/filepath"
	"strings"

	"bellout/faults"
	"bellout/faults/judge"
	"bellout/faults/nextprobe"
	"bellout/model"
)

// View is what is known about the file at one moment. Nothing in it changes
// later, so that it may be read on any goroutine.
type View struct {
	Path     string // empty: no file is open
	ReadOnly bool
	// Why says why the file is read-only.
	Why     string
	Machine *model.Machine // never nil
	Report  *faults.Report // never nil
	// Proven are the wires that readings prove.
	Proven map[string]bool
	// ProvenBy are the numbers of the readings that prove each of them, rising.
	ProvenBy map[string][]int64
	// Against are the wires, and the terminals as DEVICE:TERMINAL, that a finding
	// of severity fault blames, with the place of the first such finding in Report.
	Against map[string]int
	// Stale are the numbers of the readings whose way was edited since.
	Stale map[int64]bool
	// Outcomes say how each reading stands to the map; one that is struck out, or
	// tells nothing of conduction, may be missing.
	Outcomes map[int64]judge.Outcome
	// Next is the probe worth making now; nil while it is being worked out.
	Next *nextprobe.Proposal
	Goal nextprobe.Goal
	// Undo and Redo say what they would take back and make again; empty if nothing.
	Undo, Redo string
	// UndoRows is how many rows Undo would change.
	UndoRows int
	// Edition counts the edits of the map, so that who draws it knows when to draw
	// anew.
	Edition int
}

func noFile() View {
	machine := model.NewMachine()
	return View{
		Machine: machine, Report: &faults.Report{Findings: []faults.Finding{}, Unexplained: []faults.Unexplained{}},
		Proven: map[string]bool{}, ProvenBy: map[string][]int64{}, Against: map[string]int{}, Stale: map[int64]bool{}, Outcomes: map[int64]judge.Outcome{},
	}
}

// Name is the file's name without folder and ending; empty if none is open.
func (v View) Name() string {
	if v.Path == "" {
		return ""
	}
	return strings.TrimSuffix(filepath.Base(v.Path), ".bellout")
}
