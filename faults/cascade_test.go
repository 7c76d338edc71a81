package faults

import (
	"slices"
	"testing"
)

// chain is a mains supply that feeds a converter, which feeds another, each with
// a load; a second supply on the same inlet has a load of its own.
const chain = `
	device X1 mains-inlet : L line, N neutral
	device Q1 switch : 1 pass, 2 pass
	link Q1 1 2 contact open
	device G1 supply limit=5 : L line, N neutral, + rail 24, - return
	device G2 supply limit=5 : L line, N neutral, + rail 24, - return
	wire W1 X1:L Q1:1
	wire W2 Q1:2 G1:L
	wire W3 X1:N G1:N
	wire W4 X1:L G2:L
	wire W5 X1:N G2:N
	device U1 converter load=1 limit=3 : IN feed 24, GND return, OUT rail 12
	device U2 converter load=0.5 limit=3 : IN feed 12, GND return, OUT rail 5
	device A1 controller load=0.2 : VCC feed 5, GND return
	device E1 lamp load=0.2 : + feed 12, - return
	device E2 lamp load=0.2 : + feed 24, - return
	wire W11 G1:+ U1:IN
	wire W12 U1:GND G1:-
	wire W13 U1:OUT U2:IN
	wire W14 U2:GND U1:GND
	wire W15 U2:OUT A1:VCC
	wire W16 A1:GND U2:GND
	wire W17 U1:OUT E1:+
	wire W18 E1:- U1:GND
	wire W21 G2:+ E2:+
	wire W22 E2:- G2:-`

func TestWhatHangsOnAStarvedSourceGoesDark(t *testing.T) {
	for _, c := range []struct {
		opened string
		dark   []string
	}{
		{"W15", []string{"A1:VCC"}},
		{"W13", []string{"A1:VCC", "U2:IN"}},
		{"W11", []string{"A1:VCC", "E1:+", "U1:IN", "U2:IN"}},
		{"W2", []string{"A1:VCC", "E1:+", "U1:IN", "U2:IN"}}, // through a switch that stands open at rest
		{"W5", []string{"E2:+"}},                             // a neutral takes its supply with it
		{"W21", []string{"E2:+"}},
	} {
		t.Run(c.opened, func(t *testing.T) {
			result, err := WhatIf(build(t, chain), c.opened)
			if err != nil {
				t.Fatal(err)
			}
			var dark []string
			for _, seen := range result.Sees {
				if seen.Severity != Warning || seen.Volt.Or(0) != 0 {
					t.Errorf("%s sees %s V, %s; it should be dark", seen.Terminal, seen.Volt, seen.Severity)
				}
				dark = append(dark, seen.Terminal)
			}
			slices.Sort(dark)
			if !slices.Equal(dark, c.dark) {
				t.Errorf("dark: %v, want %v", dark, c.dark)
			}
		})
	}
}
