package inspect

import "testing"

func TestPointsAreEquallyWide(t *testing.T) {
	for points, want := range map[float64]string{25: "+25.0", -9: " -9.0", -0.7: " -0.7", -14.8: "-14.8"} {
		if got := pointsWords(points); got != want {
			t.Errorf("%g is written %q, want %q", points, got, want)
		}
	}
}
