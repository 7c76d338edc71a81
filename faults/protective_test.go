package faults

import (
	"strings"
	"testing"
)

// earthed has a supply and a lamp with a metal case, earth over a block.
const earthed = `
	device X1 mains-inlet : L line, N neutral, PE earth
	device G1 supply limit=5 : L line, N neutral, PE earth, + rail 24, - return
	device X2 terminal-block : 1 pass, 2 pass, 3 pass
	link X2 1 2 solid
	link X2 2 3 solid
	device H1 lamp load=1 : + feed 24, - return, case earth
	wire W1 X1:L G1:L
	wire W2 X1:N G1:N
	wire W3 X1:PE X2:1 colour=GNYE
	wire W4 X2:2 G1:PE
	wire W5 X2:3 H1:case
	wire W6 G1:+ H1:+
	wire W7 H1:- G1:-`

func TestEarthThatReadsOpenOrBadStopsTheMachineFirst(t *testing.T) {
	for _, c := range []struct{ name, rule, first, second string }{
		{"open", nameOpen, "X1:PE H1:case OL", "X2:3 H1:case OL"},
		{"bad joint", nameHighResistance, "X1:PE H1:case 4", "X2:3 H1:case 4"},
		{"open joint of a block", nameOpen, "X1:PE G1:PE OL", "X2:2 G1:PE OL"},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := one(t, read(t, build(t, earthed), c.first, c.second), c.rule)
			says(t, f.Message, "Protective earth")
			if !strings.HasPrefix(f.Advice, "Do not use the machine") {
				t.Errorf("the advice begins with something else: %q", f.Advice)
			}
			if strings.Contains(f.Advice, "under load") || strings.Contains(f.Advice, "millivolt") {
				t.Errorf("a live test of earth: %q", f.Advice)
			}
		})
	}
	logged, _ := log(t, build(t, earthed), reading(t, build(t, earthed), "X1:PE H1:case OL"))
	says(t, logged.Message, "Do not use the machine")
}

func TestJointsOfTheMainsGetDeadTestsOnly(t *testing.T) {
	f := one(t, read(t, build(t, earthed), "X1:N G1:N 4", "X1:N G1:N 4"), nameHighResistance)
	if strings.Contains(f.Advice, "under load") || !strings.HasPrefix(f.Advice, "This is the mains side") {
		t.Errorf("advice: %q", f.Advice)
	}
	m := build(t, earthed, "wire W8 G1:L G1:+") // a pole on the rail makes the rail part of the mains
	found := 0
	for _, f := range Check(read(t, m, "G1:+ H1:+ 4", "G1:+ H1:+ 4")).Findings {
		if f.Rule != nameHighResistance {
			continue
		}
		if found++; strings.Contains(f.Advice, "under load") || !strings.HasPrefix(f.Advice, "This is the mains side") {
			t.Errorf("of a rail that a pole of the mains met: %q", f.Advice)
		}
	}
	if found != 1 {
		t.Errorf("%d findings of the rail", found)
	}
	f = one(t, read(t, build(t, earthed), "G1:+ H1:+ 4", "G1:+ H1:+ 4"), nameHighResistance)
	says(t, f.Advice, "under load") // of a rail it is as good advice as ever
}

func TestNeutralAtEarthIsCalledThat(t *testing.T) {
	for _, c := range []struct {
		name, rule, more string
		reads            []string
	}{
		{"by a wire", nameShort, "wire W9 G1:N X2:3", nil},
		{"by a wire, 0 V bonded to earth", nameShort, "wire W9 G1:N G1:-\nwire W8 G1:- X1:PE", nil},
		{"read", nameShort, "", []string{"X1:N X1:PE 0.3", "X1:N X1:PE 0.3"}},
		{"changed over", "swapped", "drop W2\ndrop W4\nwire W2 X1:N G1:PE\nwire W4 X2:2 G1:N", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := one(t, read(t, build(t, earthed, c.more), c.reads...), c.rule)
			says(t, f.Message, "eutral", "is joined to earth")
			says(t, f.Advice, "ohms only", "licensed person")
			if strings.Contains(f.Advice, "lift") && !strings.Contains(f.Advice, "Nothing is lifted") {
				t.Errorf("lifts: %q", f.Advice)
			}
		})
	}
}

func TestAWireBetweenARailAndEarthIsNotLifted(t *testing.T) {
	for _, more := range []string{"wire W9 G1:+ X1:PE", "wire W9 G1:+ X2:3", "wire W9 G1:+ H1:case"} {
		f := one(t, build(t, earthed, more), nameShort)
		says(t, f.Advice, "W9 is a protective conductor or ends on one, and is not lifted")
		if strings.Contains(f.Advice, "Lift one end") {
			t.Errorf("%s: %q", more, f.Advice)
		}
	}
}
