package diagnosis

import (
	"math"
	"math/rand/v2"
	"testing"

	"bellout/model"
)

// What is left out of a reading's likelihood, as it does not move the meter, is what
// would have made no difference.
func TestWhatDoesNotMoveTheMeter(t *testing.T) {
	c := demo(t)
	l := NewLive(c)
	byKind := plantable(l, (&proposer{l: l}).allDriven(nil))
	random := rand.New(rand.NewPCG(3, 3))
	moved, still := 0, 0
	for range 60 {
		red, black := random.IntN(len(c.Machine.Terminals)), random.IntN(len(c.Machine.Terminals))
		if random.IntN(2) == 0 {
			e := c.Elements[random.IntN(len(c.Elements))]
			red, black = e.A, e.B
		}
		r := model.Reading{Red: c.Ref(red), Black: c.Ref(black), Mode: model.ModeOhms, Value: model.Value{Kind: model.ShowsOL}}
		if ohms := l.sight(red, black, nil, nil).Ohms; ohms < openOhms {
			r.Value = model.Value{Kind: model.ShowsNumber, Number: ohms + 0.2}
		}
		d, _ := l.NewDeadReading(r)
		for _, list := range byKind {
			for _, h := range list {
				exactly := math.Log(l.judge.Meter.Likelihood(r, l.sight(red, black, nil, []Hypothesis{h})))
				if got := d.Log([]Hypothesis{h}); math.Abs(got-exactly) > 0.1 {
					t.Fatalf("%s under %s: %.3f, exactly %.3f", d, l.named(h), got, exactly)
				}
				if d.moves(h) {
					moved++
				} else {
					still++
				}
			}
		}
	}
	if moved == 0 || still < moved {
		t.Errorf("%d move it, %d do not", moved, still)
	}
}
