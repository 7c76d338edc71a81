package graphs

import "testing"

func TestMarksThatBelongTogether(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"2-", "2+", 1}, {"1-", "2+", 0}, {"V2-", "V2+", 2}, {"GND5", "V5", 1}, {"-", "-", 1}, {"", "+", 0}, {"11", "111", 2}} {
		if got := marksAlike(c.a, c.b); got != c.want {
			t.Errorf("%q and %q: %d, want %d", c.a, c.b, got, c.want)
		}
	}
}
