package place

import (
	"testing"
	"time"

	"bellout/model/sample"
)

func TestTime(t *testing.T) {
	for _, n := range []int{5000, 16000, 19999, 100000} {
		m := sample.Machine(1, n)
		wires := len(m.Wires)
		t0 := time.Now()
		plan := compute(t, m, Options{Progress: func(d float64, what string) {
			t.Logf("   %v %.2f %s", time.Since(t0), d, what)
		}})
		t1 := time.Now()
		q := Measured(plan)
		t.Logf("%d terminals %d devices %d wires: %v, measure %v, %+v %v", n, len(m.Devices), wires, t1.Sub(t0), time.Since(t1), q, plan.Bounds)
	}
}
