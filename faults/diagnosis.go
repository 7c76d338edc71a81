package faults

import (
	"context"
	"slices"
	"strings"

	"bellout/faults/judge"
	"bellout/model"
)

// Diagnosis is all that is known of a machine: its circuit, what its readings say,
// and the report. It is made from nothing and does not change; what is worked out
// when first asked for makes it unsafe for use by several goroutines.
type Diagnosis struct {
	analysis *Analysis
	report   *Report

	intended *judge.Judge // over Bench.Apart, see AsMapped; nil until asked for
}

// Diagnose works out what is known of a machine, which must not change as long as
// the diagnosis is used. Cost: about linear, see BenchmarkDiagnose.
func Diagnose(m *model.Machine) *Diagnosis {
	d, _ := DiagnoseInSteps(context.Background(), m, nil) // nothing ends it
	return d
}

// DiagnoseInSteps is Diagnose for a machine that may be large: it tells how far it
// is, done of so many steps of about the same length, and ends early with ctx.
// progress may be nil.
func DiagnoseInSteps(ctx context.Context, m *model.Machine, progress func(done, of int)) (*Diagnosis, error) {
	of := layOutSteps*rulesAStep + len(Rules) + 1
	done := 0
	further := func(by int) {
		done += by
		if progress != nil {
			progress(done, of)
		}
	}
	d := &Diagnosis{analysis: layOutInSteps(m, func() { further(rulesAStep) })}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	d.analysis.explainReadings()
	further(1)
	onMap := d.analysis.mapFindings(func() bool {
		further(1)
		return ctx.Err() == nil
	})
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	d.report = d.analysis.report(onMap, d.analysis.explained)
	return d, nil
}

// rulesAStep is how many rules take as long as a step of layOutInSteps. Measured with
// 100,000 terminals: 1.2 s for laying out, 0.4 s for the rules.
const rulesAStep = 12

// Report returns what is wrong with the machine.
func (d *Diagnosis) Report() *Report { return d.report }

// Analysis returns what rules look at.
func (d *Diagnosis) Analysis() *Analysis { return d.analysis }

// Meaning is what one reading means.
type Meaning struct {
	Outcome  judge.Outcome
	Message  string
	Findings []Finding // those that it brought; never nil
}

// Meaning says what a stored reading means, given the diagnosis from before it was
// stored and what it discovered, nil if nothing.
func (d *Diagnosis) Meaning(number int64, before *Diagnosis, found *Discovery) Meaning {
	made := Meaning{Findings: Since(before.report.Findings, d.report.Findings)}
	if found != nil {
		made.Outcome, made.Message = judge.Discovery, found.Message
		return made
	}
	r, _ := d.analysis.Machine.Reading(number)
	w := d.analysis.evidence.weighed[number]
	made.Outcome, made.Message = w.judgement.Outcome, d.Judge().Say(r, w.judgement)
	if made.Outcome == judge.Contradicts {
		made.Message = strings.TrimSpace(made.Message + " " + d.whatFollows(w))
	} else {
		made.Message = strings.TrimSpace(d.analysis.evidence.clears(before.report, d.report, r) + " " + made.Message)
	}
	return made
}

// Suppose says what a reading would mean that is not stored. Both tips must be
// terminals of the machine.
func (d *Diagnosis) Suppose(r model.Reading) Meaning {
	m := d.analysis.Machine.Clone()
	r.Number, r.Stored = 1, 1
	for _, other := range m.Readings { // those struck out keep their numbers
		r.Number, r.Stored = max(r.Number, other.Number+1), max(r.Stored, other.Stored+1)
	}
	for _, touch := range m.Touches {
		r.Stored = max(r.Stored, touch.Stored+1)
	}
	found := d.Discover(r)
	if m.Apply(model.Edit{Changes: append(found.Changes(), model.Change{After: r})}) != nil {
		return Meaning{Outcome: judge.Undecided, Findings: []Finding{}} // it names what the map does not have
	}
	return Diagnose(m).Meaning(r.Number, d, found)
}

// whatFollows says which finding a contradicting reading belongs to, or what
// else to do about it.
func (d *Diagnosis) whatFollows(w *weighed) string {
	for _, finding := range d.report.Findings {
		if slices.Contains(finding.Readings, w.reading.Number) {
			return finding.Message
		}
	}
	e := d.analysis.evidence
	if w.reading.Mode.Volts() {
		return "" // its own sentence says what to do
	}
	if reason := e.reason(w, e.reasons()); reason != "" {
		return reason + "."
	}
	return "No single fault explains it together with the other readings: repeat it with firm tips, then read the two halves of the way."
}

// Since returns the findings of after that before does not have: another
// culprit makes a new finding, another reading or another confidence does not.
func Since(before, after []Finding) []Finding {
	known := map[string]bool{}
	for _, finding := range before {
		known[culpritOf(finding)] = true
	}
	list := []Finding{}
	for _, finding := range after {
		if !known[culpritOf(finding)] {
			list = append(list, finding)
		}
	}
	return list
}

func culpritOf(f Finding) string {
	first := func(list []string) string {
		if len(list) == 0 {
			return ""
		}
		return list[0]
	}
	nets := slices.Clone(f.Nets)
	slices.Sort(nets)
	return f.Rule + " " + string(f.Mode) + " " + first(f.Wires) + " " + first(f.Terminals) + " " + first(f.Devices) + " " + strings.Join(nets, ",")
}
