package session_test

import (
	"fmt"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"bellout/app/session"
	"bellout/model"
	"bellout/model/sample"
	"bellout/model/store"
)

// sampleFile writes a generated machine of about so many terminals, with as many
// readings as a long sitting has, into a new file.
func sampleFile(b testing.TB, terminals int) string {
	b.Helper()
	path := filepath.Join(b.TempDir(), "large.bellout")
	file, err := store.Create(path)
	if err != nil {
		b.Fatal(err)
	}
	edit := model.Edit{What: "a generated machine"}
	machine := sample.Machine(1, terminals)
	for _, d := range machine.Devices {
		edit.Changes = append(edit.Changes, model.Change{After: d})
	}
	for _, t := range machine.Terminals {
		edit.Changes = append(edit.Changes, model.Change{After: t})
	}
	for _, l := range machine.Links {
		edit.Changes = append(edit.Changes, model.Change{After: l})
	}
	for _, w := range machine.Wires {
		edit.Changes = append(edit.Changes, model.Change{After: w})
	}
	if err := file.Do(edit); err != nil {
		b.Fatal(err)
	}
	for i := range 500 { // readings of an earlier sitting
		w := machine.Wires[i*7%len(machine.Wires)]
		reading := model.Reading{At: time.Date(2026, 5, 4, 12, 0, i, 0, time.UTC), Red: w.From, Black: w.To, Mode: model.ModeContinuity, Value: model.Value{Kind: model.ShowsBeep}}
		if _, err := file.Log(reading); err != nil {
			b.Fatal(err)
		}
	}
	if err := file.Close(); err != nil {
		b.Fatal(err)
	}
	return path
}

// sitting is a desk with a worker, whose owner is the benchmark: it notes how
// long each thing that is delivered keeps the owner.
type sitting struct {
	desk      *session.Session
	delivered chan func()
	kept      time.Duration // the longest
}

func sit(b testing.TB, path string) *sitting {
	b.Helper()
	s := &sitting{delivered: make(chan func(), 10000)}
	s.desk = session.New(session.Options{Deliver: func(f func()) { s.delivered <- f }})
	opened := false
	s.desk.Open(path, func(err error) {
		if err != nil {
			b.Error(err)
		}
		opened = true
	})
	s.until(func() bool { return opened && s.desk.View().Path != "" })
	b.Cleanup(func() {
		if err := s.desk.Close(); err != nil {
			b.Error(err)
		}
	})
	return s
}

// until runs what is delivered until something holds.
func (s *sitting) until(holds func() bool) {
	for !holds() {
		f := <-s.delivered
		began := time.Now()
		f()
		s.kept = max(s.kept, time.Since(began))
	}
}

// BenchmarkLog logs readings along wires, the tips put down and the value typed
// before. Reported: from Log to what the reading means (which is shown only when
// it is on the disk, and everything was worked out anew), at the half and at 95 of
// 100; and the longest that the owner's goroutine was kept.
func BenchmarkLog(b *testing.B) {
	for _, terminals := range []int{5000, 100000} {
		b.Run(fmt.Sprint(terminals), func(b *testing.B) {
			s := sit(b, sampleFile(b, terminals))
			entry, err := session.ReadEntry("b")
			if err != nil {
				b.Fatal(err)
			}
			s.until(func() bool { return s.desk.View().Next != nil })
			s.kept = 0
			var took []time.Duration
			var call time.Duration
			at := 0
			for b.Loop() {
				wire := s.desk.Machine().Wires[at*13%len(s.desk.Machine().Wires)]
				at++
				began := time.Now()
				s.desk.PutTip(session.Red, wire.From)
				s.desk.PutTip(session.Black, wire.To)
				before := s.desk.Outcome()
				if err := s.desk.Log(entry); err != nil {
					b.Fatal(err)
				}
				call = max(call, time.Since(began))
				s.until(func() bool { return s.desk.Outcome() != before })
				took = append(took, time.Since(began))
			}
			slices.Sort(took)
			b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "ms-p50")
			b.ReportMetric(float64(took[len(took)*95/100].Microseconds())/1000, "ms-p95")
			b.ReportMetric(float64(max(s.kept, call).Microseconds())/1000, "ms-owner-most")
		})
	}
}
