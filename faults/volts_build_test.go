package faults

import (
	"slices"
	"strings"
	"testing"

	"bellout/model"
)

// voltsMachine is a sound machine of two supplies with a common 0 V: a lamp and
// a solenoid on 24 V, a controller and a sensor on 5 V, everything fused, the
// solenoid with its diode.
const voltsMachine = `
	device G1 supply limit=8 : + rail 24, - return
	device G2 supply limit=8 : + rail 5, - return
	bond G1:- G2:-
	device F1 fuse : 1 pass, 2 pass
	link F1 1 2 fuse 3
	device F2 fuse : 1 pass, 2 pass
	link F2 1 2 fuse 2
	device X24 terminal-block : 1 pass, 2 pass, 3 pass, 4 pass
	link X24 1 2 solid
	link X24 2 3 solid
	link X24 3 4 solid
	device X5 terminal-block : 1 pass, 2 pass, 3 pass, 4 pass
	link X5 1 2 solid
	link X5 2 3 solid
	link X5 3 4 solid
	device X0 terminal-block : 1 pass, 2 pass, 3 pass, 4 pass
	link X0 1 2 solid
	link X0 2 3 solid
	link X0 3 4 solid
	device X05 terminal-block : 1 pass, 2 pass, 3 pass, 4 pass
	link X05 1 2 solid
	link X05 2 3 solid
	link X05 3 4 solid
	device H1 lamp load=0.5 : + feed 24, - return
	link H1 + - resistance 5
	device K1 solenoid load=1 : A feed 24, B return
	link K1 A B resistance 24
	link K1 B A diode
	device A2 driver : O1 drive, GND return
	link A2 O1 GND electronic
	device A1 controller load=0.4 : VCC feed 5, GND return
	device B1 sensor load=0.05 : VCC feed 5, GND return

	wire W1 G1:+ F1:1 gauge=AWG16 length=0.3
	wire W2 F1:2 X24:1 gauge=AWG18 length=1
	wire W3 X24:2 H1:+ gauge=AWG20 length=1
	wire W4 X24:3 K1:A gauge=AWG20 length=1
	wire W5 K1:B A2:O1 gauge=AWG20 length=1
	wire W6 A2:GND X0:3 gauge=AWG18 length=1
	wire W7 H1:- X0:2 gauge=AWG20 length=1
	wire W8 X0:1 G1:- gauge=AWG16 length=1

	wire W11 G2:+ F2:1 gauge=AWG16 length=0.3
	wire W12 F2:2 X5:1 gauge=AWG18 length=1
	wire W13 X5:2 A1:VCC gauge=AWG20 length=1
	wire W14 X5:3 B1:VCC gauge=AWG20 length=1
	wire W15 A1:GND X05:2 gauge=AWG20 length=1
	wire W16 B1:GND X05:3 gauge=AWG20 length=1
	wire W17 X05:1 G2:- gauge=AWG16 length=1
	wire W20 X0:4 X05:4 gauge=AWG16 length=0.3
`

// ruleOf runs one rule over a machine.
func ruleOf(t testing.TB, m *model.Machine, name string) []Finding {
	t.Helper()
	for _, rule := range Rules {
		if rule.Name == name {
			return rule.Check(layOut(m)) // the readings have no say in these
		}
	}
	t.Fatalf("no rule %q", name)
	return nil
}

// one demands exactly one finding of a rule, and no fault of any other.
func one(t testing.TB, m *model.Machine, name string) Finding {
	t.Helper()
	var found []Finding
	b := NewAnalysis(m)
	for _, rule := range Rules {
		for _, f := range rule.Check(b) {
			switch {
			case f.Rule == name:
				found = append(found, f)
			case f.Severity == Fault:
				t.Errorf("besides %s: %s: %s", name, f.Rule, f.Message)
			}
			if f.Devices == nil || f.Terminals == nil || f.Wires == nil || f.Nets == nil || f.Readings == nil {
				t.Errorf("%s: a list is nil: %+v", f.Rule, f)
			}
		}
	}
	if len(found) != 1 {
		t.Fatalf("%s: got %d findings, want one: %+v", name, len(found), found)
	}
	if found[0].Message == "" || found[0].Advice == "" || strings.Contains(found[0].Message+found[0].Advice, "%!") {
		t.Errorf("%s: words missing: %q / %q", name, found[0].Message, found[0].Advice)
	}
	t.Logf("%s\n\t%s\n\tdevices %v, terminals %v, wires %v, nets %v", found[0].Message, found[0].Advice, found[0].Devices, found[0].Terminals, found[0].Wires, found[0].Nets)
	return found[0]
}

// silent demands no finding of the rules.
func silent(t testing.TB, m *model.Machine, names ...string) {
	t.Helper()
	for _, name := range names {
		for _, f := range ruleOf(t, m, name) {
			t.Errorf("%s should be silent: %s", name, f.Message)
		}
	}
}

// voltRules are the rules on volts, amperes and protection.
var voltRules = []string{
	"over-voltage", "under-voltage", "overload", "voltage-drop", "no-fuse", "fuse-too-large", "no-flyback", "critical-return",
}

func TestVoltRulesLeaveTheSoundMachineAlone(t *testing.T) {
	silent(t, build(t, voltsMachine), voltRules...)
}

func TestVoltRulesHaveAWhy(t *testing.T) {
	for _, rule := range Rules {
		if slices.Contains(voltRules, rule.Name) && len(rule.Why) < 80 {
			t.Errorf("%s: why is %q", rule.Name, rule.Why)
		}
	}
}

func starts(t testing.TB, what string, got []string, want ...string) {
	t.Helper()
	if len(got) < len(want) || !slices.Equal(got[:len(want)], want) {
		t.Errorf("%s: got %v, want them to begin with %v", what, got, want)
	}
}

func says(t testing.TB, text string, want ...string) {
	t.Helper()
	for _, part := range want {
		if !strings.Contains(text, part) {
			t.Errorf("%q does not say %q", text, part)
		}
	}
}
