package graphs

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"gonum.org/v1/gonum/mat"
)

// wiringLike draws a network as wiring is: a tree whose branches are 0.01 to
// 0.21 ohm, some 10 ohm to 10 kohm, and loops on it that span up to reach
// nodes.
func wiringLike(n int, loops float64, reach int) *Circuit {
	random := rand.New(rand.NewPCG(7, 9))
	ohms := func() float64 {
		if random.IntN(50) == 0 {
			return math.Pow(10, 1+3*random.Float64())
		}
		return 0.01 + 0.2*random.Float64()
	}
	var list []conductor
	for x := 1; x < n; x++ {
		list = append(list, conductor{int32(x), int32(max(0, x-1-random.IntN(30))), 1 / ohms()})
	}
	for range int(loops * float64(n)) {
		x := random.IntN(n)
		y := min(n-1, x+1+random.IntN(reach))
		if x != y {
			list = append(list, conductor{int32(x), int32(y), 1 / ohms()})
		}
	}
	return resistors(n, list...)
}

// The time to factor 100,000 terminals and to answer 10,000 pairs on them.
func BenchmarkOhms100k(b *testing.B) {
	for _, shape := range []struct {
		name  string
		loops float64
		reach int
	}{{"tree", 0, 1}, {"local5", 0.05, 40}, {"local30", 0.3, 40}, {"long5", 0.05, 1000}, {"long30", 0.3, 1000}} {
		b.Run(shape.name, func(b *testing.B) {
			c := wiringLike(100_000, shape.loops, shape.reach)
			random := rand.New(rand.NewPCG(3, 4))
			var factoring, asking time.Duration
			var entries int
			for b.Loop() {
				c.solver = solver{}
				start := time.Now()
				f := c.network(decided).factor()
				factoring += time.Since(start)
				entries = len(f.rows)
				start = time.Now()
				for range 10_000 {
					c.Ohms(random.IntN(100_000), random.IntN(100_000))
				}
				asking += time.Since(start)
			}
			b.ReportMetric(float64(factoring.Milliseconds())/float64(b.N), "ms-factor")
			b.ReportMetric(float64(asking.Milliseconds())/float64(b.N), "ms-10000-pairs")
			b.ReportMetric(float64(entries), "entries")
		})
	}
}

// Ours against a dense Cholesky factorisation of the same network, in turns.
func BenchmarkOhmsAgainstDense(b *testing.B) {
	for _, n := range []int{500, 3000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			c := wiringLike(n, 0.05, 40)
			var ours, dense time.Duration
			for b.Loop() {
				c.solver = solver{}
				start := time.Now()
				got := c.Ohms(1, n-1)
				ours += time.Since(start)
				start = time.Now()
				want := denseOhms(c, 1, n-1)
				dense += time.Since(start)
				if relative(got, want) > 1e-9 {
					b.Fatalf("%v ohm, dense %v", got, want)
				}
			}
			b.ReportMetric(float64(dense)/float64(ours), "x-dense")
			b.ReportMetric(float64(ours.Microseconds())/float64(b.N), "us-ours")
		})
	}
}

// denseOhms is the plain way: the Laplacian with one node grounded, factored as
// a full matrix. Elements of no ohms are not for it.
func denseOhms(c *Circuit, a, b int) float64 {
	n := len(c.Machine.Terminals) - 1 // the last terminal is ground
	laplacian := mat.NewSymDense(n, nil)
	for _, e := range c.Elements {
		if !e.Present {
			continue
		}
		siemens := 1 / e.Ohms
		for _, x := range [2]int{e.A, e.B} {
			if x < n {
				laplacian.SetSym(x, x, laplacian.At(x, x)+siemens)
			}
		}
		if e.A < n && e.B < n {
			laplacian.SetSym(e.A, e.B, laplacian.At(e.A, e.B)-siemens)
		}
	}
	var factored mat.Cholesky
	if !factored.Factorize(laplacian) {
		return math.Inf(1)
	}
	in := mat.NewVecDense(n, nil)
	if a < n {
		in.SetVec(a, 1)
	}
	if b < n {
		in.SetVec(b, -1)
	}
	var volts mat.VecDense
	if err := factored.SolveVecTo(&volts, in); err != nil {
		return math.NaN()
	}
	at := func(x int) float64 {
		if x < n {
			return volts.AtVec(x)
		}
		return 0
	}
	return at(a) - at(b)
}
