package graphs

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"bellout/model/sample"
)

// What readings cost on a generated machine of 100,000 terminals.
func BenchmarkReadings100k(b *testing.B) {
	m := sample.Machine(1, 100_000)
	random := rand.New(rand.NewPCG(5, 6))
	pick := func() int { return random.IntN(len(m.Terminals)) }
	for b.Loop() {
		c := NewCircuit(m, nil)
		clock := time.Now()
		lap := func(unit string, count int) {
			b.ReportMetric(float64(time.Since(clock).Microseconds())/float64(count), unit)
			clock = time.Now()
		}
		c.network(decided).factor()
		lap("us-factor", 1)
		for range 10_000 {
			c.Ohms(pick(), pick())
		}
		lap("us/ohms", 10_000)
		c.Predict(0, 1)
		c.network(undecidedAsMetal).factor()
		lap("us-factor-undecided", 1)
		for range 2_000 {
			c.Predict(pick(), pick())
		}
		lap("us/predict", 2_000)
		c.blocks()
		lap("us-blocks", 1)
		c.terminalLabels()
		lap("us-labels", 1)
		carried, asked := 0, 0
		for range 200 {
			p := c.Probe(pick(), pick())
			list := p.Carrying(0.01)
			carried += len(list)
		}
		lap("us/carrying", 200)
		for range 100 {
			p := c.Probe(pick(), pick())
			for range 100 {
				p.IfOpen(random.IntN(len(c.Elements)))
				asked++
			}
		}
		lap("us/if-open", asked)
		for range 300 {
			changes := []ElementChange{{Element: random.IntN(len(c.Elements)), Ohms: math.Inf(1)}, {Element: random.IntN(len(c.Elements)), Ohms: 5}}
			c.OhmsIf(pick(), pick(), changes)
		}
		lap("us/ohms-if-2", 300)
		for range 200 {
			c.Through(pick(), pick())
		}
		lap("us/through", 200)
		c.Operate(LoadsAsCurrents)
		lap("us-operate", 1)
		b.ReportMetric(float64(len(c.network(decided).factor().rows)), "entries")
		b.ReportMetric(float64(len(c.network(decided).factor().order)-c.network(decided).factor().sparse), "core")
	}
}
