package model_test

import (
	"fmt"
	"testing"

	"bellout/model/sample"
)

// BenchmarkClone copies a machine, as the window does after each edit.
func BenchmarkClone(b *testing.B) {
	for _, size := range []int{5000, 100000} {
		m := sample.Machine(1, size)
		b.Run(fmt.Sprint(size), func(b *testing.B) {
			for b.Loop() {
				m.Clone()
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/1000/float64(b.N), "ms/clone")
		})
	}
}
