package causes

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"bellout/model"
)

func onDay(t *testing.T, text string) time.Time {
	t.Helper()
	at, err := time.Parse(time.DateOnly, text)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// withHistory notes a device as well, and its death and replacement as events.
func withHistory(t *testing.T, m *model.Machine, device, replaced string) {
	t.Helper()
	before, _ := m.Device(device)
	after := before
	after.Health, after.FailedAt, after.Note = model.HealthOK, time.Time{}, ""
	changes := []model.Change{
		{After: model.Event{At: before.FailedAt, Device: device, Word: model.EventFailed, Note: before.Note}},
		{After: model.Event{At: onDay(t, replaced), Device: device, Word: model.EventReplaced}},
		{Before: before, After: after},
	}
	if err := m.Apply(model.Edit{Changes: changes}); err != nil {
		t.Fatal(err)
	}
}

func pointsOf(ranking *Ranking, device string, mechanism Mechanism) float64 {
	for _, suspect := range ranking.Suspects {
		if suspect.Device == device && suspect.Mechanism == mechanism {
			return suspect.Points
		}
	}
	return math.NaN()
}

// Who replaces what died keeps what the deaths say: the same suspects with the same
// points, for the new parts came after all of them.
func TestReplacingWhatDiedKeepsTheEvidence(t *testing.T) {
	dead := rank(t, rig(t, thirdSupply))
	m := rig(t, thirdSupply)
	for _, device := range []string{"A1", "A2", "H1"} {
		withHistory(t, m, device, "2026-06-01")
	}
	ranking := rank(t, m)
	if !slices.Equal(ranking.Failed, dead.Failed) || ranking.Deaths != 3 || ranking.Verdict != dead.Verdict {
		t.Fatalf("failed %v, %d deaths, %s; before they were replaced %v, %s", ranking.Failed, ranking.Deaths, ranking.Verdict, dead.Failed, dead.Verdict)
	}
	for at, suspect := range ranking.Suspects {
		if was := dead.Suspects[at]; was.Place != suspect.Place || math.Abs(was.Points-suspect.Points) > 1e-9 {
			t.Errorf("%s %s has %.2f points, and %s %s had %.2f", suspect.Place, suspect.Mechanism, suspect.Points, was.Place, was.Mechanism, was.Points)
		}
	}
	if text := ranking.Suspects[0].Evidence[0].Text; !strings.Contains(text, "failed on 2026-0") {
		t.Errorf("the evidence does not say when: %q", text)
	}
}

// A part that was put in between two deaths has lived through the second one only,
// and one that came first of all clears as any healthy device does.
func TestANewPartClearsOnlyWhatCameAfterIt(t *testing.T) {
	points := map[string]float64{}
	for _, day := range []string{"2026-02-01", "2026-04-15", "2026-06-01"} {
		m := rig(t, thirdSupply)
		if err := m.Apply(model.Edit{Changes: []model.Change{{After: model.Event{At: onDay(t, day), Device: "A3", Word: model.EventReplaced}}}}); err != nil {
			t.Fatal(err)
		}
		points[day] = pointsOf(rank(t, m), "G1", Overvoltage)
	}
	always := pointsOf(rank(t, rig(t, thirdSupply)), "G1", Overvoltage)
	if points["2026-02-01"] != always {
		t.Errorf("put in before all deaths: %.2f points, want %.2f", points["2026-02-01"], always)
	}
	unknown := rig(t, strings.Replace(thirdSupply, "device A3 controller health=ok", "device A3 controller", 1))
	if want := pointsOf(rank(t, unknown), "G1", Overvoltage); points["2026-06-01"] != want {
		t.Errorf("put in after all deaths: %.2f points, want those of one that nobody looked at, %.2f", points["2026-06-01"], want)
	}
	if between := points["2026-04-15"]; between <= always || between >= points["2026-06-01"] {
		t.Errorf("put in between: %.2f points, not between %.2f and %.2f", between, always, points["2026-06-01"])
	}
}

// Each part that died in one place counts.
func TestSeveralDeathsInOnePlaceCount(t *testing.T) {
	once := pointsOf(rank(t, rig(t, thirdSupply)), "G3", Ripple)
	m := rig(t, thirdSupply)
	for _, day := range []string{"2025-11-01", "2026-01-10"} {
		for _, word := range model.EventWords {
			if err := m.Apply(model.Edit{Changes: []model.Change{{After: model.Event{At: onDay(t, day), Device: "A1", Word: word}}}}); err != nil {
				t.Fatal(err)
			}
		}
	}
	ranking := rank(t, m)
	if ranking.Deaths != 5 || len(ranking.Failed) != 3 || !strings.Contains(ranking.FailedText(), "5 parts died") {
		t.Errorf("%d deaths at %v: %s", ranking.Deaths, ranking.Failed, ranking.FailedText())
	}
	if thrice := pointsOf(ranking, "G3", Ripple); thrice <= once+20 {
		t.Errorf("three parts died at A1: %.1f points where one gave %.1f", thrice, once)
	}
}

// What was read of a supply before it was replaced says nothing of the one that is
// in now.
func TestRippleOfTheOldSupplyIsNotThatOfTheNew(t *testing.T) {
	m := rig(t, thirdSupply+"reading G3:+ G3:- volts-ac 1.4")
	high := pointsOf(rank(t, m), "G3", Ripple)
	reading, _ := m.Reading(1)
	dated := reading
	dated.At, dated.Number = onDay(t, "2026-05-20"), 2
	struck := reading
	struck.Struck = "a slip"
	if err := m.Apply(model.Edit{Changes: []model.Change{{Before: reading, After: struck}, {After: dated}, {After: model.Event{At: onDay(t, "2026-05-21"), Device: "G3", Word: model.EventReplaced}}}}); err != nil {
		t.Fatal(err)
	}
	if got := pointsOf(rank(t, m), "G3", Ripple); got > high-20 {
		t.Errorf("%.1f points with the ripple of the supply that is out, %.1f when it was in", got, high)
	}
	late := dated
	late.At, late.Number = onDay(t, "2026-05-21"), 3
	if err := m.Apply(model.Edit{Changes: []model.Change{{After: late}}}); err != nil {
		t.Fatal(err)
	}
	if got := pointsOf(rank(t, m), "G3", Ripple); got != high {
		t.Errorf("%.1f points with the ripple of the new one, want %.1f", got, high)
	}
}
