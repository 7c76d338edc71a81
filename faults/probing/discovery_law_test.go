package probing

import (
	"encoding/json"
	"math/rand/v2"
	"testing"

	"bellout/faults"
	"bellout/model"

	"pgregory.net/rapid"
)

// A session that took in wire after wire as they were found, with slips of the
// tips and other readings between, says and proposes what one made from nothing
// does.
func TestASessionOfDiscoveriesIsThatMadeFromNothing(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		seed := rapid.Uint64Range(0, 1<<20).Draw(rt, "seed")
		whole := demoMachine(t)
		if size := rapid.SampledFrom([]int{0, 60, 120}).Draw(rt, "terminals"); size > 0 {
			whole = machineOf(t, seed, size)
		}
		w := newTruth(t, whole, seed)
		if rapid.Bool().Draw(rt, "flaw") {
			w.plant(t, rapid.SampledFrom(flawKinds).Draw(rt, "kind"))
		}
		m := withSomeWires(t, whole, rand.New(rand.NewPCG(seed, 3)), rapid.Float64Range(0, 0.9).Draw(rt, "mapped"))
		session := faults.NewSession(m)
		planner := New(session, Options{Goal: Map})
		found := 0
		for number := int64(1); number <= 40; number++ {
			next := planner.Next()
			if next.Done {
				break
			}
			probe := *next.Probe
			if rapid.IntRange(0, 3).Draw(rt, "other") == 0 {
				probe = otherProbe(rt, m)
			}
			reading := probe.Reading(w.shows(probe))
			if rapid.IntRange(0, 19).Draw(rt, "slip") == 0 {
				reading.Value = model.Value{Kind: model.ShowsOL}
				if probe.Mode == model.ModeContinuity {
					reading.Value = model.Value{Kind: model.ShowsSilent}
				}
			}
			logged := session.Log(reading)
			reading.Number, reading.Stored = number, number
			changes := []model.Change{{After: reading}}
			if logged.Discovery != nil {
				changes = append(changes, model.Change{After: *logged.Discovery})
				found++
			}
			apply(t, m, changes...)
			session.Stored(reading)
			planner.Took(probe)
			if logged.Discovery != nil && rapid.IntRange(0, 3).Draw(rt, "compare") == 0 {
				sameAsFromNothing(rt, m, session, found)
			}
		}
		sameAsFromNothing(rt, m, session, found)
	})
}

// sameAsFromNothing compares a session with one made of its machine.
func sameAsFromNothing(rt *rapid.T, m *model.Machine, session *faults.Session, found int) {
	fresh := faults.NewSession(m)
	if got, want := asText(rt, session.Report()), asText(rt, fresh.Report()); got != want {
		rt.Fatalf("after %d wires found the report is\n%s\nfrom nothing\n%s", found, got, want)
	}
	for _, reading := range m.Readings {
		if got, want := session.Counts(reading.Number), fresh.Counts(reading.Number); got != want {
			rt.Fatalf("reading %d counts: %v, from nothing %v", reading.Number, got, want)
		}
		if got, want := asText(rt, session.ProvedBy(reading.Number)), asText(rt, fresh.ProvedBy(reading.Number)); got != want {
			rt.Fatalf("reading %d proves %s, from nothing %s", reading.Number, got, want)
		}
	}
	for _, goal := range []Goal{Locate, Verify, Map} {
		got, want := New(session, Options{Goal: goal}).Next(), New(fresh, Options{Goal: goal}).Next()
		if got.Why != want.Why || asText(rt, got.Probe) != asText(rt, want.Probe) {
			rt.Fatalf("after %d wires found, to %s: %v %s\nfrom nothing %v %s", found, goal, got.Probe, got.Why, want.Probe, want.Why)
		}
	}
}

func asText(rt *rapid.T, value any) string {
	text, err := json.Marshal(value)
	if err != nil {
		rt.Fatal(err)
	}
	return string(text)
}

// otherProbe is a touch that nobody proposed, now and then with a wire lifted or a
// device unplugged.
func otherProbe(rt *rapid.T, m *model.Machine) Probe {
	ref := func(what string) model.TerminalRef {
		return m.Terminals[rapid.IntRange(0, len(m.Terminals)-1).Draw(rt, what)].Ref()
	}
	probe := Probe{Red: ref("red"), Black: ref("black"), Mode: rapid.SampledFrom([]model.Mode{model.ModeContinuity, model.ModeOhms}).Draw(rt, "mode")}
	for probe.Red == probe.Black {
		probe.Black = ref("black")
	}
	switch rapid.IntRange(0, 4).Draw(rt, "conditions") {
	case 0:
		if len(m.Wires) > 0 {
			if wire := m.Wires[rapid.IntRange(0, len(m.Wires)-1).Draw(rt, "lifted")]; !m.ProtectiveWire(wire) {
				probe.Conditions = model.NewConditions(model.Condition{Kind: model.Lifted, Wire: wire.Name})
			}
		}
	case 1:
		probe.Conditions = model.NewConditions(model.Condition{Kind: model.Unplugged, Device: ref("unplugged").Device})
	}
	return probe
}

// withSomeWires is a machine with about that share of its wires.
func withSomeWires(t testing.TB, m *model.Machine, random *rand.Rand, share float64) *model.Machine {
	t.Helper()
	bare := model.NewMachine()
	var changes []model.Change
	for _, row := range m.Rows() {
		if _, is := row.(model.Wire); !is || random.Float64() < share {
			changes = append(changes, model.Change{After: row})
		}
	}
	apply(t, bare, changes...)
	return bare
}
