package page

import "testing"

func TestDigits(t *testing.T) {
	for _, row := range []struct {
		value float64
		want  string
	}{
		{0, "0"}, {4.3149, "4.31"}, {-15.349, "-15.3"}, {0.00628318, "0.00628"}, {123456, "123000"}, {12, "12"},
	} {
		if got := Digits(row.value); got != row.want {
			t.Errorf("Digits(%v) = %q, want %q", row.value, got, row.want)
		}
	}
}
