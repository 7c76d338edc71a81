package faults

import (
	"math"
	"slices"

	"bellout/faults/explain"
	"bellout/faults/judge"
	"bellout/graphs"
)

// explained says whether a fault that other readings prove makes these volts: a
// break on the way, a short of the rail, rails that meet. The reading then belongs
// to that fault's finding: one cause, one finding.
func (r *railEvidence) explained(w *weighed, byRule map[string][]Finding) bool {
	for _, explanation := range r.explains {
		for _, cause := range explanation.Causes {
			if !r.makes(cause, w) {
				continue
			}
			for rule, findings := range byRule {
				for i := range findings {
					if n := len(cause.Readings); len(findings[i].Readings) >= n && slices.Equal(findings[i].Readings[:n], cause.Readings) {
						byRule[rule][i].Readings = append(slices.Clone(findings[i].Readings), w.reading.Number)
						return true
					}
				}
			}
		}
	}
	return false
}

// makes says whether a fault of the wiring makes the volts of a reading.
func (r *railEvidence) makes(cause explain.Cause, w *weighed) bool {
	v := w.judgement.Rail
	if v.Verdict == judge.RailRipple {
		return false
	}
	b := r.e.b
	red, black := r.e.tips(w)
	if cause.Fault == explain.Short {
		// a shorted rail folds back; rails that meet have the volts of one of them, or
		// something between
		for _, supply := range r.of[w] {
			rail := b.NetOf(b.Parts.Supplies[supply].Rail)
			if a, c := b.NetOf(cause.A), b.NetOf(cause.B); a == rail || c == rail {
				other := b.Net(cause.A)
				if a == rail {
					other = b.Net(cause.B)
				}
				return v.Verdict != judge.RailHigh || other.Kind == graphs.NetRail && v.Volts <= 1.1*b.mostVolts(other)
			}
		}
		return false
	}
	before := r.e.judge.Volts(red, black, w.reading.Conditions)
	volts, known := r.e.judge.View(w.reading.Conditions).Operate(graphs.LoadsAsCurrents, cause.Changes(b.AsDrawn)...).Between(red, black)
	if v.Verdict == judge.RailHigh {
		return known && math.Abs(volts-w.reading.Value.Number) <= 0.1*v.Nominal
	}
	switch cause.Fault {
	case explain.WireHigh, explain.LinkHigh, explain.JointHigh: // how much it drops hangs on the load: is it on the way?
		open := cause.Hypothesis
		open.Fault = map[explain.Fault]explain.Fault{explain.WireHigh: explain.WireOpen, explain.LinkHigh: explain.LinkOpen, explain.JointHigh: explain.JointOpen}[cause.Fault]
		volts, known = r.e.judge.View(w.reading.Conditions).Operate(graphs.LoadsAsCurrents, open.Changes(b.AsDrawn)...).Between(red, black)
	}
	return !known || before.Known && math.Abs(volts-before.Value) > 0.1*v.Nominal
}

// mostVolts is the most that a rail of a net has.
func (b *Analysis) mostVolts(net *graphs.Net) float64 {
	most := 0.0
	for _, t := range net.Terminals {
		most = math.Max(most, math.Abs(b.Machine.Terminals[t].Volts.Or(0)))
	}
	return most
}
