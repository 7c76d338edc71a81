package faults

import "testing"

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
