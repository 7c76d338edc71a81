package faults

import (
	"slices"
	"testing"
)

// TestNoMetalTwiceIsNoJointThatMoves: an input beside a broken wire shows one
// thing, then another. Neither is the wire, so that the wire is to blame, and not for moving.
func TestNoMetalTwiceIsNoJointThatMoves(t *testing.T) {
	machine := `
		device A1 controller : VCC feed 5, GND return, IN signal
		device P1 generic : 1 signal, 2 signal
		device P2 generic : 1 signal
		link A1 IN GND electronic
		link P1 1 2 resistance 4700
		wire W1 A1:IN P1:1
		wire W2 A1:GND P1:2
		wire W3 P1:1 P2:1`
	for _, test := range []struct {
		first, second string
		torn          bool
	}{
		{"OL", "3473", false},
		{"3473", "OL", false},
		{"OL", "0.3", true},
		{"0.3", "3473", true},
	} {
		m := read(t, build(t, machine), "A1:IN P1:1 "+test.first, "A1:IN P1:1 "+test.second)
		rules := map[string][]string{}
		for _, f := range Check(m).Findings {
			rules[f.Rule] = append(rules[f.Rule], f.Wires...)
		}
		if _, torn := rules[nameIntermittent]; torn != test.torn {
			t.Errorf("%s, then %s: %v, want a joint that moves: %v", test.first, test.second, rules, test.torn)
		}
		if !test.torn && !slices.Contains(slices.Concat(rules["open"], rules["high-resistance"]), "W1") {
			t.Errorf("%s, then %s: %v, want W1 blamed", test.first, test.second, rules)
		}
	}
}
