package book

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"bellout/faults"
	"bellout/faults/causes"
	"bellout/model"
	"bellout/model/store"
	"bellout/model/wording"
)

// makeFaultLog prints what was found, what the dead devices share, and what was
// done about it.
func makeFaultLog(_ context.Context, f *facts, s *Sheet) error {
	fl := newFlow(s, true)
	fl.heading("Fault and repair log", 24)
	fl.para(fmt.Sprintf("%s by the map and the readings as they stand. No finding does not mean that there is no fault: %s.", wording.Count(len(f.report.Findings), "finding"), f.coverage()), style{size: smallSize, colour: soft})
	f.failed(fl)
	var faultsOnly, rest []faults.Finding
	for _, finding := range f.report.Findings {
		if finding.Severity == faults.Fault {
			faultsOnly = append(faultsOnly, finding)
		} else {
			rest = append(rest, finding)
		}
	}
	fl.heading("Faults", 16)
	fl.table(f.logTable(faultsOnly))
	if len(rest) > 0 {
		fl.heading("Warnings and notes", 16)
		fl.table(f.logTable(rest))
	}
	if len(f.report.Unexplained) > 0 {
		fl.heading("Readings that no finding explains", 16)
		t := &table{columns: []column{{title: "readings", bold: true, most: 60}, {title: "what to do", most: 180}}}
		for _, u := range f.report.Unexplained {
			t.add(say(strings.Trim(fmt.Sprint(u.Readings), "[]")), say(u.Words))
		}
		fl.table(t)
	}
	f.struck(fl)
	f.repairs(fl)
	fl.heading("Repairs, by hand", 44)
	t := &table{grid: true, columns: []column{{title: "date", fixed: 22}, {title: "symptom", fixed: 48}, {title: "cause", fixed: 48}, {title: "what was done, parts", fixed: 60}, {title: "retest", fixed: 34}, {title: "who", fixed: 18}, {title: "watch until", fixed: 22}}}
	for range 8 {
		t.add(make([]cell, 7)...)
		t.rows[len(t.rows)-1].least = 8
	}
	fl.table(t)
	return nil
}

// logTable is the table of findings with the evidence and room for what was done.
func (f *facts) logTable(list []faults.Finding) *table {
	t := &table{grid: true, columns: []column{{title: "", bold: true}, {title: "rule", most: 26}, {title: "sure", right: true}, {title: "what and where", most: 95}, {title: "what decides, and the repair", most: 95}, {title: "readings", most: 22}, {title: "done, by, on", fixed: 30}}}
	for _, finding := range list {
		severity := cell{text: string(finding.Severity)}
		if finding.Severity == faults.Fault {
			severity.text, severity.colour = "FAULT", alarm
		}
		t.add(severity, say(finding.Rule), say(sureness(finding.Confidence)), say(finding.Message), say(finding.Advice), say(strings.Trim(fmt.Sprint(finding.Readings), "[]")), cell{shade: true})
	}
	return t
}

// sureness says how sure a finding is: what is arithmetic on the map is as sure as
// the map, which is no 100 %.
func sureness(confidence float64) string {
	if confidence >= 0.995 { // as check has it
		return "by the map"
	}
	return model.PercentText(confidence)
}

// failed lists the dead devices and what they share.
func (f *facts) failed(fl *flow) {
	var deaths []model.Event
	for _, d := range f.m.Devices {
		deaths = append(deaths, f.m.Deaths(d.Ref)...)
	}
	if len(deaths) == 0 {
		return
	}
	slices.SortStableFunc(deaths, func(a, b model.Event) int { return a.At.Compare(b.At) })
	fl.heading("Devices that failed", 16)
	t := &table{grid: true, columns: []column{{title: "device", bold: true, mono: true}, {title: "what", most: 60}, {title: "where", most: 40}, {title: "on"}, {title: "note", most: 80}, {title: "replaced on, by", fixed: 36}, {title: "watch until", fixed: 26}}}
	for _, death := range deaths {
		d, _ := f.m.Device(death.Device)
		t.add(say(d.Ref), say(d.Title), say(d.Zone), say(day(death.At)), say(death.Note), cell{text: day(f.replacedAfter(death)), shade: true}, cell{shade: true})
		t.rows[len(t.rows)-1].least = 6
	}
	fl.table(t)
	ranking := causes.Rank(f.bench, causes.KnownFrom(f.known), causes.DefaultWeights())
	fl.heading("What they share: "+ranking.Verdict.Words(), 16)
	t = &table{columns: []column{{title: "suspect", bold: true, mono: true}, {title: "how", most: 40}, {title: "of the suspicion", right: true}, {title: "reaches", most: 60}, {title: "weightiest evidence", most: 110}, {title: "what would settle it", most: 90}}}
	for _, suspect := range ranking.Suspects[:min(len(ranking.Suspects), 5)] {
		evidence, next := "", ""
		if len(suspect.Evidence) > 0 {
			evidence = suspect.Evidence[0].Text
		}
		if suspect.Next != nil {
			next = suspect.Next.Words()
		}
		t.add(say(suspect.Place.String()), say(string(suspect.Mechanism)), say(model.PercentText(suspect.Share)), say(strings.Join(suspect.Reaches, " ")), say(evidence), say(next))
	}
	fl.table(t)
}

// replacedAfter is when the place of a part that died got another one; zero where
// it has none yet.
func (f *facts) replacedAfter(death model.Event) time.Time {
	var at time.Time
	for _, e := range f.m.Events {
		later := e.Device == death.Device && e.Word == model.EventReplaced && !e.At.Before(death.At)
		if later && (at.IsZero() || e.At.Before(at)) {
			at = e.At
		}
	}
	return at
}

// stale returns the numbers of the readings whose path was edited since.
func (f *facts) stale() []int64 { return faults.Stale(f.machine()) }

func (f *facts) struck(fl *flow) {
	t := &table{columns: []column{{title: "no.", right: true, bold: true}, {title: "when"}, {title: "red", mono: true}, {title: "black", mono: true}, {title: "showed"}, {title: "why it was struck out", most: 120}}}
	for _, r := range f.m.Readings {
		if !r.Stands() {
			t.add(say(fmt.Sprint(r.Number)), say(minute(r.At)), say(r.Red.String()), say(r.Black.String()), say(shown(r)), say(r.Struck))
		}
	}
	if len(t.rows) == 0 {
		return
	}
	fl.heading("Readings that were struck out", 16)
	fl.table(t)
}

// repairs lists the edits of the map that were made once there were readings.
func (f *facts) repairs(fl *flow) {
	touched := map[int64]bool{}
	for _, touch := range f.m.Touches {
		touched[touch.Stored] = true
	}
	t := &table{columns: []column{{title: "edit", right: true, bold: true}, {title: "when"}, {title: "what", most: 200}}}
	for i := len(f.job.Journal) - 1; i >= 0; i-- {
		if r := f.job.Journal[i]; r.State == store.Done && touched[r.ID] {
			t.add(say(fmt.Sprint(r.ID)), say(minute(r.At)), say(r.What))
		}
	}
	if len(t.rows) == 0 {
		return
	}
	fl.heading("Edits of the wiring after the first readings", 16)
	fl.table(t)
}
