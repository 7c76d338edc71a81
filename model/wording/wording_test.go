package wording

import "testing"

// Common practice: a list ends in "and", one thing has no s, what is left out is counted.
func TestWording(t *testing.T) {
	list := []string{"a", "b", "c"}
	for got, want := range map[string]string{
		Count(0, "wire"):     "0 wires",
		Count(1, "wire"):     "1 wire",
		Count(2, "wire"):     "2 wires",
		And(nil):             "",
		And(list[:1]):        "a",
		And(list[:2]):        "a and b",
		And(list):            "a, b and c",
		Or(list):             "a, b or c",
		Some(list, 3):        "a, b, c",
		Some(list, 2):        "a, b and 1 more",
		AndMore(list, 3):     "a, b and c",
		AndMore(list, 1):     "a and 2 more",
		AndMore(list[:1], 0): "a",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
