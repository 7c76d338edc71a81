package graphs

import (
	"math"
	"testing"
	"time"

	"gonum.org/v1/gonum/graph/path"
	"gonum.org/v1/gonum/graph/topo"

	"bellout/model/sample"
)

// BenchmarkAgainstGonum does what doc.go names both ways in the same loop: blocks at 5,000
// terminals, the shortest ways across a grid of 81.
func BenchmarkAgainstGonum(b *testing.B) {
	compare := func(name string, ours, gonums func()) {
		b.Run(name, func(b *testing.B) {
			var own, theirs time.Duration
			for b.Loop() {
				t0 := time.Now()
				ours()
				t1 := time.Now()
				gonums()
				own, theirs = own+t1.Sub(t0), theirs+time.Since(t1)
			}
			b.ReportMetric(float64(own.Microseconds())/1000/float64(b.N), "ms-ours")
			b.ReportMetric(float64(theirs.Microseconds())/1000/float64(b.N), "ms-gonum")
		})
	}
	c := NewCircuit(sample.Machine(1, 5000), nil)
	compare("blocks", func() { c.Blocks(Element.Joins) }, func() {
		for id := range c.Elements[:50] { // gonum has no blocks; components without an element tell one bridge
			topo.ConnectedComponents(c.Without(id).Metal())
		}
	})
	g := grid(9)
	web := webOf(g)
	blocks := web.Blocks()
	compare("1000-ways", func() { web.Ways(blocks, 0, 80, 1000) }, func() {
		metal := hops{g.Metal()}
		path.YenKShortestPaths(metal, 1000, math.Inf(1), metal.Node(0), metal.Node(80))
	})
}

// hops is a graph whose edges weigh one each.
type hops struct{ *Graph }

func (g hops) Weight(x, y int64) (float64, bool) {
	if x == y {
		return 0, true
	}
	return 1, g.HasEdgeBetween(x, y)
}
