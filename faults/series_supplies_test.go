package faults

import (
	"strings"
	"testing"
)

// series is two sources of 12 V, the second on top of the first, and a lamp of
// 24 V across the two, one of 12 V on each.
const series = `
	device G1 battery limit=5 : + rail 12, - return
	device G2 battery limit=5 : + rail 12, - return
	device E1 lamp load=1 : + feed 24, - return
	device E2 lamp load=1 : + feed 12, - return
	device E3 lamp load=1 : + feed 12, - return
	wire WS G1:+ G2:- gauge=AWG14 length=0.2
	wire W1 G2:+ E1:+ gauge=AWG14 length=1
	wire W2 E1:- G1:- gauge=AWG14 length=1
	wire W3 G1:+ E2:+ gauge=AWG14 length=1
	wire W4 E2:- G1:- gauge=AWG14 length=1
	wire W5 G2:+ E3:+ gauge=AWG14 length=1
	wire W6 E3:- G2:- gauge=AWG14 length=1
`

func asSupplies(text string) string { return strings.ReplaceAll(text, " battery ", " supply ") }

func TestSourcesInSeriesAreNoShort(t *testing.T) {
	for name, m := range map[string]string{"batteries": series, "isolated supplies": asSupplies(series)} {
		for _, f := range Check(build(t, m)).Findings {
			t.Errorf("%s: %s: %s", name, f.Rule, f.Message)
		}
	}
}

func TestThreeInSeriesAddUp(t *testing.T) {
	for _, f := range Check(build(t, asSupplies(series), `
		device G3 supply limit=5 : + rail 12, - return
		device E4 lamp load=1 : + feed 36, - return
		wire WT G2:+ G3:- gauge=AWG14 length=0.2
		wire W7 G3:+ E4:+ gauge=AWG14 length=1
		wire W8 E4:- G1:- gauge=AWG14 length=1`)).Findings {
		if f.Rule == "critical-return" && f.Wires[0] == "WS" {
			continue // without it G3 drives a current backwards through E1
		}
		t.Errorf("%s: %s", f.Rule, f.Message)
	}
}

func TestALoadAcrossAStackIsJudgedByTheSum(t *testing.T) {
	f := one(t, build(t, series, "wire W6 E3:- G1:- gauge=AWG14 length=1"), "over-voltage")
	starts(t, "terminals", f.Terminals, "E3:+")
	says(t, f.Message, "24 V of G2:+")
	f = one(t, build(t, series, "device G1 battery limit=2.1 : + rail 12, - return"), "overload") // E1 counts on both
	starts(t, "terminals", f.Terminals, "G1:+")
	if f.Severity != Warning {
		t.Errorf("2 A of 2.1 A: got %s, want a warning", f.Severity)
	}
	f = one(t, build(t, series, "wire W1 G2:+ E1:+ gauge=AWG24 length=12"), "voltage-drop")
	starts(t, "wires", f.Wires, "W1")
}

// The same join is a short where metal or a bond leads back.
func TestAJoinOfRailAndReturnThatIsNoStack(t *testing.T) {
	for name, text := range map[string]string{
		"metal leads back":      series + "wire WX G2:- G1:- gauge=AWG14 length=1",
		"a bond of the returns": series + "bond G2:- G1:-",
	} {
		t.Run(name, func(t *testing.T) {
			if found := ruleOf(t, build(t, text), "short"); len(found) != 1 {
				t.Errorf("got %d shorts, want one", len(found))
			}
		})
	}
}
