package faults

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// A trial of explanations alone: a machine with faults planted into it, the
// readings that a careful person takes around them, and what the check makes of
// them. What the meter shows comes from package graphs, never through the code
// that judges readings.

// mistake is one planted fault, and what names it.
type mistake struct {
	kind   string
	wires  []string     // all of them must be named, the first of them or of marks first
	marks  []string     // terminals of a link
	nets   [2]string    // of a short
	probes [][2]int     // around it
	ohms   bool         // only the ohms range tells
	visits map[int]bool // terminals that the readings are about
}

type trialRun struct {
	t       testing.TB
	random  *rand.Rand
	drawn   *model.Machine // as the map has it
	truth   *model.Machine
	c       *graphs.Circuit // of drawn
	beep    float64
	readers int
}

func newTrial(t testing.TB, m *model.Machine, seed uint64) *trialRun {
	t.Helper()
	r := &trialRun{t: t, random: rand.New(rand.NewPCG(seed, 11)), drawn: m.Clone(), truth: m.Clone(), c: graphs.NewCircuit(m, nil)}
	r.beep = m.Settings().BeepBelowOhms * math.Exp(0.05*r.random.NormFloat64())
	for _, link := range slices.Clone(r.truth.Links) { // parts differ from what the map says
		if link.Kind == model.LinkResistance && link.Value.Known {
			other := link
			other.Value = model.Known(link.Value.Value * math.Exp(0.08*r.random.NormFloat64()))
			r.edit(r.truth, model.Change{Before: link, After: other})
		}
	}
	return r
}

func (r *trialRun) edit(m *model.Machine, changes ...model.Change) {
	r.t.Helper()
	if err := m.Apply(model.Edit{What: "trial", Changes: changes}); err != nil {
		r.t.Fatal(err)
	}
}

// missedTouch is how often a tip does not touch.
const missedTouch = 0.01

func (r *trialRun) shows(truth *graphs.Circuit, red, black int, mode model.Mode) model.Value {
	ohms := truth.Ohms(red, black)
	if r.random.Float64() < missedTouch {
		ohms = math.Inf(1)
	}
	lead := r.drawn.Settings().LeadOhms
	if mode == model.ModeContinuity {
		if ohms+lead < r.beep {
			return model.Value{Kind: model.ShowsBeep}
		}
		return model.Value{Kind: model.ShowsSilent}
	}
	if ohms > 4e7 {
		return model.Value{Kind: model.ShowsOL}
	}
	value := (ohms+lead)*(1+0.005*r.random.NormFloat64()) + 0.05*math.Abs(r.random.NormFloat64())
	step := math.Max(0.01, math.Pow(10, math.Floor(math.Log10(value))-3))
	return model.Value{Number: math.Round(math.Round(value/step)*step*1e6) / 1e6}
}

// measureAll takes the readings around the mistakes, each once, and once more
// where it surprises: a careful person does not believe one slip.
func (r *trialRun) measureAll(probes [][2]int, ohmsOnly bool) {
	truth := graphs.NewCircuit(r.truth, nil)
	j := judge.New(r.c)
	done := map[[2]int]bool{}
	for _, p := range probes {
		key := [2]int{min(p[0], p[1]), max(p[0], p[1])}
		if p[0] == p[1] || done[key] {
			continue
		}
		done[key] = true
		mode := model.ModeOhms
		if !ohmsOnly && r.random.Float64() < 0.3 {
			mode = model.ModeContinuity
		}
		for range 2 {
			r.readers++
			reading := model.Reading{
				Number: int64(r.readers), Stored: int64(r.readers), Red: r.c.Ref(p[0]), Black: r.c.Ref(p[1]), Mode: mode,
				Value: r.shows(truth, p[0], p[1], mode),
			}
			r.edit(r.drawn, model.Change{After: reading})
			if j.Judge(reading).Outcome != judge.Contradicts {
				break
			}
		}
	}
}

// around returns the probes at an element's ends and along the chain: its
// neighbours, each alone and over the element.
func (r *trialRun) around(a, b, element int) [][2]int {
	probes := [][2]int{{a, b}}
	for _, ends := range [2][2]int{{a, b}, {b, a}} {
		count := 0
		for _, id := range r.c.Incident(ends[0]) {
			if far := r.c.Far(int(id), ends[0]); int(id) != element && r.c.Elements[id].Joins() && count < 3 && far != ends[1] {
				count++
				probes = append(probes, [2]int{ends[0], far}, [2]int{far, ends[1]})
			}
		}
	}
	return probes
}
