package faults

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"bellout/graphs"
	"bellout/model"
)

// lostReturn is an island of two loads, of given volts and ohms, on one return
// wire W9 to the common 0 V of two supplies.
func lostReturn(heavyVolts, heavyOhms, lightVolts, lightOhms string) string {
	return `
	device G1 supply : + rail ` + heavyVolts + `, - return
	device G2 supply : + rail ` + lightVolts + `, - return
	bond G1:- G2:-
	device X0 terminal-block : 1 pass, 2 pass
	link X0 1 2 solid
	device X9 terminal-block : 1 pass, 2 pass, 3 pass
	link X9 1 2 solid
	link X9 2 3 solid
	device K1 solenoid : A feed ` + heavyVolts + `, B return
	link K1 A B resistance ` + heavyOhms + `
	device U1 controller : VCC feed ` + lightVolts + `, GND return
	link U1 VCC GND resistance ` + lightOhms + `
	wire W1 G1:+ K1:A
	wire W2 G2:+ U1:VCC
	wire W3 K1:B X9:2
	wire W4 U1:GND X9:3
	wire W9 X9:1 X0:1
	wire W10 X0:1 G1:-
	wire W11 X0:2 G2:-`
}

// The lost return in a common-negative machine
// (common practice: one node's sum of currents).
var lostReturns = []struct {
	name                                         string
	heavyVolts, heavyOhms, lightVolts, lightOhms string
	island, sees                                 float64
	tolerance                                    float64 // half of the printed last digit
}{
	{"24 V solenoid 12 ohm with 5 V board 50 ohm", "24", "12", "5", "50", 20.3, -15.3, 0.05},
	{"48 V drive 20 ohm with 12 V board 60 ohm", "48", "20", "12", "60", 39, -27, 0.5},
	{"12 V lamp 6 ohm with 5 V board 25 ohm", "12", "6", "5", "25", 10.6, -5.6, 0.06}, // 10.645 printed as 10.6
}

func TestWhatIfOfALostReturn(t *testing.T) {
	for _, c := range lostReturns {
		t.Run(c.name, func(t *testing.T) {
			result, err := WhatIf(build(t, lostReturn(c.heavyVolts, c.heavyOhms, c.lightVolts, c.lightOhms)), "W9")
			if err != nil {
				t.Fatal(err)
			}
			if result.Opened != "W9" || len(result.Sees) != 2 {
				t.Fatalf("got %+v, want two feeds", result)
			}
			worst, other := result.Sees[0], result.Sees[1]
			if worst.Terminal != "U1:VCC" || worst.Severity != Fault || !worst.Volt.Known || math.Abs(worst.Volt.Value-c.sees) > c.tolerance {
				t.Errorf("worst: got %+v, want U1:VCC at %v V", worst, c.sees)
			}
			if other.Terminal != "K1:A" || other.Severity != Warning {
				t.Errorf("then: got %+v, want K1:A starved", other)
			}
		})
	}
}

func TestWhatIf(t *testing.T) {
	m := build(t, voltsMachine)
	t.Run("a feed that opens starves its load", func(t *testing.T) {
		result, err := WhatIf(m, "W13")
		if err != nil {
			t.Fatal(err)
		}
		if len(result.Sees) != 1 || result.Sees[0].Device != "A1" || result.Sees[0].Severity != Warning || math.Abs(result.Sees[0].Volt.Or(0)) > 1e-3 {
			t.Errorf("got %+v, want A1 dead", result.Sees)
		}
	})
	t.Run("a link by its marks, either way round", func(t *testing.T) {
		for _, what := range []string{"F2:1-2", "F2:2-1"} {
			result, err := WhatIf(m, what)
			if err != nil {
				t.Fatal(err)
			}
			var dead []string
			for _, s := range result.Sees {
				dead = append(dead, s.Device)
			}
			if result.Opened != "F2:1-2" || !slices.Equal(dead, []string{"A1", "B1"}) {
				t.Errorf("%s: got %+v, want A1 and B1 dead", what, result)
			}
		}
	})
	t.Run("a load behind an open switch counts", func(t *testing.T) {
		behind := lostReturn("12", "6", "5", "25") + `
			device S1 switch : 1 pass, 2 pass
			link S1 1 2 contact open
			wire W1 G1:+ S1:1
			wire W30 S1:2 K1:A`
		result, err := WhatIf(build(t, behind), "W9")
		if err != nil {
			t.Fatal(err)
		}
		if len(result.Sees) != 2 || result.Sees[0].Terminal != "U1:VCC" || math.Abs(result.Sees[0].Volt.Value+5.645) > 0.01 {
			t.Errorf("got %+v, want U1:VCC at -5.65 V first", result.Sees)
		}
		if result, err = WhatIf(build(t, behind), "S1:1-2"); err != nil || len(result.Sees) != 1 || result.Sees[0].Terminal != "K1:A" {
			t.Errorf("opening the switch: got %+v, %v; want K1:A dead", result, err)
		}
	})
	t.Run("nothing follows", func(t *testing.T) {
		result, err := WhatIf(m, "W20")
		if err != nil {
			t.Fatal(err)
		}
		text, err := json.Marshal(result)
		if err != nil || string(text) != `{"opened":"W20","sees":[]}` {
			t.Errorf("got %s, %v", text, err)
		}
	})
	for what, want := range map[string]string{
		"W99": `no wire "W99"`, "Q1:1-2": `no device "Q1"`, "F2:1-7": `no link "F2:1-7"`, "": "no wire",
	} {
		if _, err := WhatIf(m, what); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v, want %q", what, err, want)
		}
	}
	if _, err := WhatIf(build(t, voltsMachine, "wire W20 X0:4 X05:4 removed"), "W20"); err == nil || !strings.Contains(err.Error(), "removed already") {
		t.Errorf("a removed wire: got %v", err)
	}
	if _, err := WhatIf(build(t, voltsMachine, "link F2 1 2 fuse 2 open"), "F2:1-2"); err == nil || !strings.Contains(err.Error(), "open already") {
		t.Errorf("a blown fuse: got %v", err)
	}
}

func TestSeverityOfVolts(t *testing.T) {
	plus := graphs.Load{Volts: model.Known(12), MinVolts: model.Known(10.8), MaxVolts: model.Known(13.2)}
	minus := graphs.Load{Volts: model.Known(-12), MinVolts: model.Known(-13.2), MaxVolts: model.Known(-10.8)}
	for _, c := range []struct {
		name string
		load graphs.Load
		volt model.Optional
		want Severity
	}{
		{"rated", plus, model.Known(12), Note},
		{"at its most", plus, model.Known(13.2), Note},
		{"above", plus, model.Known(13.3), Fault},
		{"starved", plus, model.Known(10.7), Warning},
		{"dead", plus, model.Known(0), Warning},
		{"reversed", plus, model.Known(-0.5), Fault},
		{"floating", plus, model.Optional{}, Warning},
		{"rated, negative", minus, model.Known(-12), Note},
		{"above, negative", minus, model.Known(-14), Fault},
		{"starved, negative", minus, model.Known(-5), Warning},
		{"reversed, negative", minus, model.Known(1), Fault},
		{"no volts noted, reversed", graphs.Load{}, model.Known(-1), Fault},
		{"no volts noted", graphs.Load{}, model.Known(400), Note},
	} {
		if got := severityOf(c.load, c.volt); got != c.want {
			t.Errorf("%s: got %s, want %s", c.name, got, c.want)
		}
	}
}
