package nextprobe

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"bellout/faults"
	"bellout/faults/causes"
	"bellout/model"
	"bellout/model/sample"
)

// history is a machine whose readings are gone, in which one cause killed some devices
// in turn: three of those that it reaches, weeks apart. The rest is well.
type history struct {
	m      *model.Machine
	guilty causes.Suspect
	random *rand.Rand
}

// bareOf returns a machine without its readings, every device well.
func bareOf(t testing.TB, m *model.Machine) *model.Machine {
	t.Helper()
	var edit model.Edit
	for _, r := range m.Readings {
		struck := r
		struck.Struck = "before the history"
		edit.Changes = append(edit.Changes, model.Change{Before: r, After: struck})
	}
	for _, d := range m.Devices {
		well := d
		well.Health, well.FailedAt, well.Note = model.HealthOK, time.Time{}, ""
		if well != d {
			edit.Changes = append(edit.Changes, model.Change{Before: d, After: well})
		}
	}
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	return m
}

// fail notes devices as failed, three weeks apart.
func fail(t testing.TB, m *model.Machine, refs []string) {
	t.Helper()
	for i, ref := range refs {
		d, _ := m.Device(ref)
		dead := d
		dead.Health, dead.FailedAt = model.HealthFailed, time.Date(2026, 1, 5+21*i, 0, 0, 0, 0, time.UTC)
		if err := m.Apply(model.Edit{Changes: []model.Change{{Before: d, After: dead}}}); err != nil {
			t.Fatal(err)
		}
	}
}

// reachedBy lists what each suspect of some mechanisms reaches, were every device dead.
func reachedBy(t testing.TB, m *model.Machine, mechanisms ...causes.Mechanism) []causes.Suspect {
	t.Helper()
	m = m.Clone()
	var refs []string
	for _, d := range m.Devices {
		refs = append(refs, d.Ref)
	}
	fail(t, m, refs)
	s := faults.Diagnose(m)
	list := causes.Rank(s.Analysis(), causes.KnownFrom(s), causes.DefaultWeights()).Suspects
	return slices.DeleteFunc(list, func(one causes.Suspect) bool {
		return !slices.Contains(mechanisms, one.Mechanism) || len(one.Reaches) < 3
	})
}

// answer is what the meter shows where the guilty one still is as it was.
func (h *history) answer(s *faults.Diagnosis, p Probe) model.Value {
	number := func(x float64) model.Value { return model.Value{Kind: model.ShowsNumber, Number: x} }
	red, _ := h.m.TerminalIndex(p.Red)
	black, _ := h.m.TerminalIndex(p.Black)
	volts := s.Judge().Volts(red, black, p.Conditions).Or(0)
	own := p.Red.Device == h.guilty.Device
	switch p.Mode {
	case model.ModeVoltsAC:
		if own && h.guilty.Mechanism == causes.Ripple {
			return number(0.04 * volts)
		}
		return number(0.003 * volts * h.random.Float64())
	case model.ModeVoltsDC:
		if own && h.guilty.Mechanism == causes.Overvoltage {
			return number(1.3 * volts)
		}
		return number(volts * (0.99 + 0.02*h.random.Float64()))
	}
	sight := s.Judge().Sight(red, black, p.Conditions)
	if sight.Ohms > 1e6 {
		return model.Value{Kind: model.ShowsOL}
	}
	return number(sight.Ohms + 0.2)
}

// solve follows the planner; acts is how many it took until the guilty one leads, 0
// where it never does.
func (h *history) solve(t testing.TB, most int) (acts int, log []string) {
	t.Helper()
	p := New(faults.Diagnose(h.m.Clone()), Options{Goal: Locate, Looks: true})
	for act := 1; act <= most; act++ {
		next := p.Next()
		if next.Done {
			first := p.ranking().Suspects
			for _, one := range first[:min(2, len(first))] {
				if first[0].Share < settled && one.Next != nil && p.mayMeasure(*one.Next) {
					t.Errorf("done, and %s leads with %.2f while %s at %s was not read; %v", first[0].Place, first[0].Share, one.Next.Mode, one.Next.Red, log)
				}
			}
			return acts, append(log, "done")
		}
		if next.Ask != nil {
			t.Fatalf("asks to look at %s, though nobody said what any device does", next.Ask.Device)
		}
		r := model.Reading{Red: next.Probe.Red, Black: next.Probe.Black, Mode: next.Probe.Mode,
			Value: h.answer(p.known, *next.Probe), Conditions: next.Probe.Conditions}
		if act == 1 && !r.Mode.Volts() {
			t.Errorf("%v: begins with %s at %s", log, r.Mode, r.Red)
		}
		log = append(log, fmt.Sprint(r.Mode, " ", r.Red, " ", r.Black, " ", r.Value))
		take(t, h.m, p, r)
		p.Took(*next.Probe)
		if best := p.ranking().Suspects[0]; acts == 0 && best.Place == h.guilty.Place && best.Mechanism == h.guilty.Mechanism && best.Share > 0.5 {
			acts = act
		}
	}
	return acts, log
}

// Devices died in turn, nobody read anything yet: the volts of the supplies come
// first, and the guilty one leads after four acts at most in nine histories of ten,
// also where it only shares a return with the dead.
func TestHistoriesLeadToTheGuiltySupply(t *testing.T) {
	random := rand.New(rand.NewPCG(11, 11))
	found, trials := 0, 0
	var missed []string
	for _, m := range []*model.Machine{bareOf(t, demoMachine(t)), bareOf(t, sample.Machine(5, 500))} {
		for _, guilty := range reachedBy(t, m, causes.Ripple, causes.Overvoltage) {
			for range 3 {
				h := &history{m: m.Clone(), guilty: guilty, random: random}
				refs := slices.Clone(guilty.Reaches)
				random.Shuffle(len(refs), func(i, j int) { refs[i], refs[j] = refs[j], refs[i] })
				deaths := 3
				if guilty.Mechanism == causes.Overvoltage { // it kills most of what it reaches
					deaths = max(deaths, len(refs)/2)
				}
				fail(t, h.m, refs[:deaths])
				acts, log := h.solve(t, 8)
				if trials++; acts > 0 && acts <= 4 {
					found++
				} else {
					missed = append(missed, fmt.Sprint(guilty.Place, guilty.Mechanism, refs[:deaths], log))
				}
			}
		}
	}
	if t.Logf("%d of %d", found, trials); trials < 20 || 10*found < 9*trials {
		t.Errorf("%d of %d\n%s", found, trials, strings.Join(missed, "\n"))
	}
}
