package model

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestNamesInTheOrderInWhichPeopleReadThem(t *testing.T) {
	want := []string{"", "+", "-", "1", "2", "10", "A", "A1", "A1a", "A1b", "A2", "A10", "A10a", "W02", "W2a", "W10", "a", "ä"}
	got := slices.Clone(want)
	slices.Reverse(got)
	slices.SortFunc(got, Compare)
	if !slices.Equal(got, want) {
		t.Errorf("got %q\nwant %q", got, want)
	}
	if !Less("W2", "W02") || Less("W02", "W2") {
		t.Error("of two equal numbers the one without zeros comes first, always")
	}
	if Compare("W99999999999999999999999", "W100000000000000000000000") >= 0 {
		t.Error("long numbers are compared as numbers")
	}
}

// Names that are near each other, where an order could go wrong.
func nearName() *rapid.Generator[string] {
	return rapid.StringOfN(rapid.SampledFrom([]rune("0012A+-aü")), 0, 6, -1)
}

func TestCompareIsATotalOrder(t *testing.T) {
	sign := func(n int) int {
		switch {
		case n < 0:
			return -1
		case n > 0:
			return 1
		}
		return 0
	}
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := nearName().Draw(t, "a"), nearName().Draw(t, "b"), nearName().Draw(t, "c")
		if sign(Compare(a, b)) != -sign(Compare(b, a)) {
			t.Fatalf("%q and %q: %d one way, %d the other", a, b, Compare(a, b), Compare(b, a))
		}
		if (Compare(a, b) == 0) != (a == b) {
			t.Fatalf("%q and %q compare %d", a, b, Compare(a, b))
		}
		if Compare(a, b) <= 0 && Compare(b, c) <= 0 && Compare(a, c) > 0 {
			t.Fatalf("%q <= %q <= %q, but not the first and the last", a, b, c)
		}
		if Less(a, b) != (Compare(a, b) < 0) {
			t.Fatalf("Less and Compare differ on %q, %q", a, b)
		}
	})
}
