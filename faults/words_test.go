package faults

import (
	"math"
	"testing"
)

func TestDigitsStayFew(t *testing.T) {
	for _, c := range []struct {
		value float64
		want  string
	}{{1e308, "1e+308"}, {math.Inf(1), "over 1e+308"}, {-2.5e7, "-2.5e+07"}, {24, "24"}, {999999, "999999"}, {0.1234, "0.123"}, {-0.0001, "0"}, {12.345, "12.3"}} {
		if got := digitsText(c.value); got != c.want {
			t.Errorf("%v: got %s, want %s", c.value, got, c.want)
		}
	}
}

func TestAlternativesAreJoinedByOr(t *testing.T) {
	list := []string{"W1", "W2", "W3"}
	for most, want := range map[int]string{3: "W1, W2 or W3", 2: "W1, W2 or one of 1 more"} {
		if got := eitherText(list, most); got != want {
			t.Errorf("%d at most: got %q, want %q", most, got, want)
		}
	}
	if got := eitherText(list[:1], 3); got != "W1" {
		t.Errorf("one alone: got %q", got)
	}
}
