package faults

import (
	"testing"
	"time"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
	"bellout/model/sample"
)

// BenchmarkReadings judges, explains and proves 10,000 readings of a sound
// machine of 100,000 terminals, the bench laid out already.
func BenchmarkReadings(b *testing.B) {
	m := sample.Machine(1, 100_000)
	readings := m.Readings
	m.Readings = nil
	bench := NewBench(m)
	bench.Drawn.Ohms(0, 1) // the elimination belongs to the circuit
	m.Readings = readings
	for b.Loop() {
		bench.explainReadings()
		if n := len(bench.explained); n > 0 {
			b.Fatalf("%d rules fire on a sound machine", n)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N), "ms/10k-readings")
}

// BenchmarkJudge compares judging under conditions by changes to the circuit at
// rest with the plain way, a circuit for each reading.
func BenchmarkJudge(b *testing.B) {
	m := sample.Machine(1, 3_000)
	rest := graphs.NewCircuit(m, nil)
	j := judge.New(rest)
	var ours, plain time.Duration
	for b.Loop() {
		for _, r := range m.Readings {
			red, _ := m.TerminalIndex(r.Red)
			black, _ := m.TerminalIndex(r.Black)
			t0 := time.Now()
			got := j.Judge(r)
			t1 := time.Now()
			want := graphs.NewCircuit(m, r.Conditions).Ohms(red, black)
			ours += t1.Sub(t0)
			plain += time.Since(t1)
			if diff := got.Sight.Ohms - want; diff > 1e-6 || diff < -1e-6 {
				b.Fatalf("reading %d: %g ohm, a circuit of its own says %g", r.Number, got.Sight.Ohms, want)
			}
		}
	}
	b.ReportMetric(float64(plain)/float64(ours), "x-plain")
}

// BenchmarkLog logs a reading that contradicts, with its new finding, into a
// session of 100,000 terminals and 10,000 readings, and takes it out again; the
// plain way makes the report from nothing.
func BenchmarkLog(b *testing.B) {
	m := sample.Machine(1, 100_000)
	session := NewSession(m)
	wires := m.Wires
	at, worst := 0, time.Duration(0)
	var ours time.Duration
	for b.Loop() {
		wire := wires[(at*977)%len(wires)]
		at++
		r := model.Reading{Red: wire.From, Black: wire.To, Mode: model.ModeOhms, Value: model.Value{Number: 9.7}, Number: 1 << 40, Stored: 1 << 40}
		t0 := time.Now()
		session.Log(r)
		found := session.Stored(r)
		took := time.Since(t0)
		ours += took
		worst = max(worst, took)
		if len(found) == 0 && !session.bench.evidence.torn[keyOf(r)] && !hidden(session, r) {
			b.Fatalf("%s reads 9.7 ohm and brings no finding", wire.Name)
		}
		session.Struck(r.Number)
	}
	t0 := time.Now()
	Check(m)
	b.ReportMetric(float64(ours.Microseconds())/1000/float64(b.N), "ms/log")
	b.ReportMetric(float64(worst.Microseconds())/1000, "ms/worst")
	b.ReportMetric(float64(time.Since(t0))/(float64(ours)/float64(b.N)), "x-check")
}

// hidden says whether the other readings speak against the reading: it is then
// taken for a slip.
func hidden(s *Session, r model.Reading) bool {
	for _, e := range s.bench.evidence.explainer.Explain() {
		if len(e.Causes) == 0 && e.Mistaken > 0.5 {
			return true
		}
	}
	return false
}

// BenchmarkDiscovery stores a beep to a terminal without a wire, and its wire,
// in a session of 100,000 terminals and 10,000 readings.
func BenchmarkDiscovery(b *testing.B) {
	m := sample.Machine(1, 100_000)
	var changes []model.Change
	for _, row := range []model.Row{model.Device{Ref: "XX1", Health: model.HealthUnknown}, model.Terminal{Device: "XX1", Mark: "1"}} {
		changes = append(changes, model.Change{After: row})
	}
	if err := m.Apply(model.Edit{Changes: changes}); err != nil {
		b.Fatal(err)
	}
	session := NewSession(m)
	beep := model.Value{Kind: model.ShowsBeep}
	r := model.Reading{Red: m.Wires[0].From, Black: model.TerminalRef{Device: "XX1", Mark: "1"}, Mode: model.ModeContinuity, Value: beep, Number: 1 << 40, Stored: 1 << 40}
	for b.Loop() {
		logged := session.Log(r)
		if logged.Discovery == nil {
			b.Fatalf("%s is no discovery: %s", logged.Outcome, logged.Message)
		}
		found := []model.Change{{After: *logged.Discovery}, {After: r}}
		if err := m.Apply(model.Edit{Changes: found}); err != nil {
			b.Fatal(err)
		}
		session.Stored(r)
		b.StopTimer()
		if err := m.Apply(model.Edit{Changes: []model.Change{{Before: r}, {Before: *logged.Discovery}}}); err != nil {
			b.Fatal(err)
		}
		session.Refresh()
		b.StartTimer()
	}
	b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N), "ms/discovery")
}
