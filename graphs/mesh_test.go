package graphs

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The iteration for cores too large for a full matrix gives what the full
// matrix gives, also where ohms span six decades.
func TestSampledMeshEqualsTheFullOne(t *testing.T) {
	random := rand.New(rand.NewPCG(11, 12))
	for _, decades := range []float64{0, 2, 6} {
		const n = 300
		var list []conductor
		for range 8 * n {
			a, b := int32(random.IntN(n-20)), int32(random.IntN(n-20))
			if a != b {
				list = append(list, conductor{a, b, math.Pow(10, decades*(random.Float64()-0.5))})
			}
		}
		for x := n - 20; x < n-1; x++ { // and a part by itself
			list = append(list, conductor{int32(x), int32(x + 1), 1})
		}
		unique, _ := addParallel(n, list)
		full, sampled := newFullMesh(n, unique), newSampledMesh(n, unique)
		for range 20 {
			a, b := random.IntN(n-20), random.IntN(n-20)
			if a == b {
				continue
			}
			in := make([]float64, n)
			in[a], in[b] = 1, -1
			in[n-1], in[n-20] = 0.5, -0.5
			other := append([]float64(nil), in...)
			volts := append([]float64(nil), in...)
			want, got := full.ohms(in), sampled.ohms(other)
			if relative(got, want) > 1e-9 {
				t.Errorf("%v decades: %v ohm, full %v", decades, got, want)
			}
			sampled.solve(volts)
			drop := volts[a] - volts[b] + 0.5*(volts[n-1]-volts[n-20])
			if relative(drop, want) > 1e-8 {
				t.Errorf("%v decades: %v volts, full %v", decades, drop, want)
			}
		}
	}
}

// Two parts, one too large for one node after another: both are answered, and
// nothing joins them.
func TestCoreOfSeveralParts(t *testing.T) {
	random := rand.New(rand.NewPCG(13, 14))
	var list []conductor
	for part := range 2 {
		for range 4000 {
			a, b := random.IntN(250), random.IntN(250)
			if a != b {
				list = append(list, conductor{int32(250*part + a), int32(250*part + b), 1 + random.Float64()})
			}
		}
	}
	c := resistors(500, list...)
	if f := c.network(decided).factor(); f.mesh == nil {
		t.Fatal("no core; the test needs one")
	}
	if got := c.Ohms(0, 499); !math.IsInf(got, 1) {
		t.Errorf("parts apart: %v ohm", got)
	}
	alone := resistors(250, func() (first []conductor) {
		for _, r := range list {
			if r.a < 250 {
				first = append(first, r)
			}
		}
		return first
	}()...)
	want := denseOhms(alone, 3, 200)
	if got := c.Ohms(3, 200); relative(got, want) > 1e-9 {
		t.Errorf("%v ohm, dense %v", got, want)
	}
	opened := ElementChange{Element: 5, Ohms: math.Inf(1)}
	if got, want := c.OhmsIf(3, 200, []ElementChange{opened}), changed(c, []ElementChange{opened}).Ohms(3, 200); relative(got, want) > 1e-11 {
		t.Errorf("with one open: %v ohm, want %v", got, want)
	}
	if got, want := c.Probe(3, 200).IfOpen(5), c.OhmsIf(3, 200, []ElementChange{opened}); relative(got, want) > 1e-9 {
		t.Errorf("suspected open: %v ohm, want %v", got, want)
	}
}
