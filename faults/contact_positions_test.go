package faults

import (
	"fmt"
	"testing"

	"bellout/model"
)

// changeover has a 5 V sensor on the common of a changeover between the 5 V rail
// and the 24 V rail, in some state at rest.
func changeover(t *testing.T, five, twentyFour, more string) *model.Machine {
	t.Helper()
	return build(t, fmt.Sprintf(`
		device G1 supply : + rail 24, - return
		device G2 supply : + rail 5, - return
		bond G1:- G2:-
		device S5 switch : C pass, 1 pass, 2 pass
		link S5 C 1 contact %s
		link S5 C 2 contact %s
		device U1 controller : 5 feed 5, 0 return
		device H1 lamp : + feed 24, - return
		device U2 sensor load=0.1 : 5 feed 5, 0 return
		wire W1 G2:+ U1:5
		wire W2 G1:+ H1:+
		wire W3 U1:5 S5:1
		wire WX H1:+ S5:2
		wire W5 S5:C U2:5
		wire W6 U1:0 G2:-
		wire W7 H1:- G1:-
		wire W8 U2:0 G2:-
		wire W9 G1:- G2:-`, five, twentyFour), more)
}

func TestAFeedIsJudgedInEveryPositionOfAChangeover(t *testing.T) {
	for _, c := range []struct{ name, five, twentyFour string }{
		{"5 V at rest", "closed", "open"},
		{"24 V at rest", "open", "closed"},
		{"neither at rest", "open", "open"},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := one(t, changeover(t, c.five, c.twentyFour, ""), "over-voltage")
			starts(t, "wires", f.Wires, "WX", "W5")
			starts(t, "terminals", f.Terminals, "U2:5")
			says(t, f.Message, "U2:5", "24 V of G1:+", "through WX")
		})
	}
}

// What hangs on one throw never gets the volts of the other throw: that takes
// both at once.
func TestNoWayTakesTwoThrowsOfOneChangeover(t *testing.T) {
	for _, c := range []struct{ name, five, twentyFour string }{
		{"closed to 5 V", "closed", "open"}, {"closed to the lamp", "open", "closed"}, {"both open", "open", "open"},
	} {
		t.Run(c.name, func(t *testing.T) {
			silent(t, build(t, fmt.Sprintf(`
				device G1 supply : + rail 24, - return
				device S5 switch : C pass, 1 pass, 2 pass
				link S5 C 1 contact %s
				link S5 C 2 contact %s
				device S6 switch : 1 pass, 2 pass
				link S6 1 2 contact open
				device G2 supply : + rail 5, - return
				bond G1:- G2:-
				device U1 controller : 5 feed 5, 0 return
				device H1 lamp : + feed 24, - return
				wire W1 G2:+ S5:1
				wire W2 S5:2 H1:+
				wire W3 G1:+ S6:1
				wire W4 S6:2 H1:+
				wire W5 H1:- G1:-
				wire W6 U1:0 G2:-
				wire W7 G1:- G2:-
				wire W8 G2:+ U1:5`, c.five, c.twentyFour)), "over-voltage", "under-voltage")
		})
	}
}

// A piece that is first reached through one throw is still left by that throw
// when a rail comes another way.
func TestAThrowIsTakenFromTheOtherSide(t *testing.T) {
	m := build(t, `
		device G1 supply : + rail 24, - return
		device S5 switch : C pass, 1 pass, 2 pass
		link S5 C 1 contact open
		link S5 C 2 contact open
		device S6 switch : 1 pass, 2 pass
		link S6 1 2 contact open
		device U1 controller : 5 feed 5, 0 return
		wire W1 G1:+ S5:1
		wire W2 S5:2 U1:5
		wire W3 G1:+ S6:1
		wire W4 S6:2 S5:C
		wire W5 U1:0 G1:-`)
	one(t, m, "over-voltage")
	silent(t, change(t, m, "drop W3"), "over-voltage")
}
