package diagnosis

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bellout/assets"
	"bellout/graphs"
	"bellout/model"
	"bellout/model/tables"
)

func demo(t testing.TB) *graphs.Circuit {
	t.Helper()
	content, err := tables.ReadFS(context.Background(), assets.Demo(assets.AsRepaired), assets.AsRepaired)
	if err != nil {
		t.Fatal(err)
	}
	m, err := content.Machine()
	if err != nil {
		t.Fatal(err)
	}
	return graphs.NewCircuit(m, nil)
}

// bench is a machine with faults planted in it, that answers looks, volts and
// ohms with a meter's noise.
type bench struct {
	l      *Live
	truth  []Hypothesis
	random *rand.Rand
}

func (b *bench) look(device string, conditions model.Conditions) Word {
	ratio, _ := b.l.ratio(device, b.l.Run(conditions, b.truth...), b.truth)
	dead, weak, _ := does(ratio)
	switch x := b.random.Float64(); {
	case x < dead:
		return Dead
	case x < dead+weak:
		return Weak
	}
	return Works
}

// affected says whether the planted faults move what a device gets.
func (b *bench) affected(device string, conditions model.Conditions) bool {
	ratio, _ := b.l.ratio(device, b.l.Run(conditions, b.truth...), b.truth)
	sound, _ := b.l.ratio(device, b.l.Run(conditions), nil)
	return sound > 0.9 && math.Abs(ratio-sound) > 0.1
}

func (b *bench) measure(a Act) model.Value {
	number := 0.0
	switch a.Mode {
	case model.ModeOhms:
		ohms := b.l.sight(a.Red, a.Black, a.Conditions, b.truth).Ohms
		if ohms > openOhms {
			return model.Value{Kind: model.ShowsOL}
		}
		number = ohms*(1+0.02*b.random.NormFloat64()) + 0.2 + 0.05*b.random.Float64()
	case model.ModeVoltsAC:
		state := b.l.Run(a.Conditions, b.truth...)
		rail := math.Abs(state.Between(a.Red, a.Black))
		number = math.Max(b.l.rippleAt(a.Red, a.Black, state, b.truth), usualRipple*rail*b.random.Float64())
	default:
		state := b.l.Run(a.Conditions, b.truth...)
		number = state.Between(a.Red, a.Black) * (1 + 0.015*b.random.NormFloat64())
		if state.Ohms(a.Red, a.Black) >= floatingOhms {
			number = 0.2 * b.random.NormFloat64()
		}
	}
	return model.Value{Kind: model.ShowsNumber, Number: number}
}

// search begins with one symptom and an unread machine and goes on until one
// place leads with 90 %, or nothing tells more.
func (b *bench) search(l *Live, device string, word Word, conditions model.Conditions) (p *Posterior, acts int, seconds float64) {
	const most = 25
	first, _ := l.NewSymptom(device, word, conditions)
	evidence := []Evidence{first}
	for {
		p = Weigh(l, evidence, assets.DefaultPriors())
		if suspects := p.Suspects(); acts == most || len(suspects) > 0 && suspects[0].Chance > 0.9 {
			return p, acts, seconds
		}
		list := p.Acts(anywhere, nothing)
		if len(list) == 0 || list[0].Bits < 0.01 {
			return p, acts, seconds
		}
		a := list[0]
		acts, seconds = acts+1, seconds+a.Seconds
		if a.Look != "" {
			e, _ := l.NewSymptom(a.Look, b.look(a.Look, a.Conditions), a.Conditions)
			evidence = append(evidence, e)
			continue
		}
		reading := model.Reading{Red: l.Circuit.Ref(a.Red), Black: l.Circuit.Ref(a.Black), Mode: a.Mode, Conditions: a.Conditions, Value: b.measure(a)}
		if a.Mode.Volts() {
			e, _ := l.NewReading(reading)
			evidence = append(evidence, e)
		} else {
			e, _ := l.NewDeadReading(reading)
			evidence = append(evidence, e)
		}
	}
}

// plantable are the hypotheses of a machine by kind, in an order that no map
// decides.
func plantable(l *Live, conditions model.Conditions) map[Kind][]Hypothesis {
	p := &proposer{l: l, priors: assets.DefaultPriors(), seen: map[string]bool{}, loops: map[[2]int]bool{}}
	for _, device := range l.devices(conditions) {
		if s, known := l.NewSymptom(device, Dead, conditions); known {
			s.Propose(p)
		}
	}
	byKind := map[Kind][]Hypothesis{}
	for _, h := range p.list {
		byKind[h.Kind] = append(byKind[h.Kind], h)
	}
	return byKind
}

// outcome counts what trials came to.
type outcome struct {
	trials, named, wrong, acts int
	seconds                    float64
}

// try plants one hypothesis and searches from the first device that it keeps
// from working; false where it keeps none.
func try(c *graphs.Circuit, l *Live, h Hypothesis, conditions model.Conditions, random *rand.Rand, o *outcome) bool {
	b := &bench{NewLive(c), []Hypothesis{h}, random}
	for _, device := range l.devices(conditions) {
		word := b.look(device, conditions)
		if word == Works || !b.affected(device, conditions) {
			continue
		}
		p, acts, seconds := b.search(l, device, word, conditions)
		o.trials, o.acts, o.seconds = o.trials+1, o.acts+acts, o.seconds+seconds
		suspects := p.Suspects()
		switch {
		case len(suspects) > 0 && suspects[0].Place() == h.Place():
			o.named++
		case len(suspects) > 0 && suspects[0].Chance > 0.9:
			o.wrong++
		}
		return true
	}
	return false
}

// searched are the kinds that one symptom leads to.
var searched = []Kind{ElementOpen, LoadOpen, LoadShort, Touch, SupplyDead, SupplyLow, StuckOff, NoPower}

// From one symptom on an unread demo machine, every output driven: what was
// planted is named. Few trials, so that they are quick: the benchmark has more.
func TestOneSymptomLeadsToThePart(t *testing.T) {
	c := demo(t)
	l := NewLive(c)
	conditions := (&proposer{l: l}).allDriven(nil)
	byKind := plantable(l, conditions)
	random := rand.New(rand.NewPCG(1, 1))
	var all outcome
	for _, kind := range searched {
		for range 20 { // some plant nothing that a symptom shows
			if try(c, l, byKind[kind][random.IntN(len(byKind[kind]))], conditions, random, &all) {
				break
			}
		}
	}
	if all.trials < len(searched) || all.named < len(searched)-1 || all.wrong > 1 {
		t.Errorf("%+v", all)
	}
}

func BenchmarkOneSymptom(b *testing.B) {
	c := demo(b)
	l := NewLive(c)
	conditions := (&proposer{l: l}).allDriven(nil)
	byKind := plantable(l, conditions)
	for _, kind := range searched {
		b.Run(fmt.Sprintf("kind=%s", kind), func(b *testing.B) {
			random := rand.New(rand.NewPCG(7, 7))
			var o outcome
			for b.Loop() {
				try(c, l, byKind[kind][random.IntN(len(byKind[kind]))], conditions, random, &o)
			}
			trials := math.Max(1, float64(o.trials))
			b.ReportMetric(100*float64(o.named)/trials, "%named")
			b.ReportMetric(100*float64(o.wrong)/trials, "%wrong")
			b.ReportMetric(float64(o.acts)/trials, "acts")
			b.ReportMetric(o.seconds/trials, "s-at-the-bench")
		})
	}
}

func (l *Live) devices(conditions model.Conditions) []string {
	p := &Posterior{Live: l}
	s, _ := l.NewSymptom("", Works, conditions)
	p.Evidence = []Evidence{s}
	return slices.Clone(p.devices())
}
