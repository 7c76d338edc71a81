package faults_test

import (
	"fmt"
	"slices"
	"testing"

	"bellout/assets"
	"bellout/assets/lantern"
	"bellout/faults"
	"bellout/model"
	"bellout/model/sample"
)

// demo is Lantern Lock in one of its states.
func demo(t testing.TB, state string) *model.Machine { t.Helper(); return lantern.Machine(t, state) }

// found names a finding by its severity, its rule and its culprit: the wire,
// or else the terminal.
func found(f faults.Finding) string {
	culprit := ""
	switch {
	case len(f.Wires) > 0:
		culprit = f.Wires[0]
	case len(f.Terminals) > 0:
		culprit = f.Terminals[0]
	}
	return fmt.Sprintf("%s %s %s", f.Severity, f.Rule, culprit)
}

// The demo machine's own account of itself, in assets, is what check must say.
func TestCheckOfTheDemoMachine(t *testing.T) {
	for _, c := range []struct {
		state string
		want  []string
	}{
		{assets.AsFound, []string{
			"fault short J6:B1",            // the pinched loom; from readings alone
			"fault rail-cross W228",        // +36 V to +24 V
			"fault mixed-ground W229",      // the audio return strapped to the others
			"fault open W130",              // the dark strip's return; from readings alone
			"fault failed-part G3:+",       // the ripple of the old 36 V supply
			"warning critical-return W206", // what the gate house shares
		}},
		{assets.AsRepaired, []string{"warning critical-return W206"}},
	} {
		t.Run(c.state, func(t *testing.T) {
			report := faults.Check(demo(t, c.state))
			var got []string
			for _, finding := range report.Findings {
				got = append(got, found(finding))
				if !slices.Contains(c.want, found(finding)) {
					t.Errorf("surplus: %s: %s", found(finding), finding.Message)
				}
			}
			for _, want := range c.want {
				if !slices.Contains(got, want) {
					t.Errorf("missing: %s", want)
				}
			}
			if len(got) != len(c.want) {
				t.Errorf("%d findings, want %d", len(got), len(c.want))
			}
			if report.Proven.Wires < 40 {
				t.Errorf("%d wires are proven, want at least 40", report.Proven.Wires)
			}
		})
	}
}

// A sound machine of the usual structure gives no finding of any severity.
func TestCheckOfASoundMachineIsSilent(t *testing.T) {
	for seed := range uint64(3) {
		for _, finding := range faults.Check(sample.Machine(seed, 1000)).Findings {
			t.Errorf("seed %d: %s: %s", seed, found(finding), finding.Message)
		}
	}
}
