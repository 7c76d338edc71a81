package session_test

import (
	"testing"

	"bellout/app/session"
)

// find returns the place of a finding that names a terminal; -1 for none.
func find(d *session.Session, rule, terminal string) int {
	for at, finding := range d.View().Report.Findings {
		for _, named := range finding.Terminals {
			if finding.Rule == rule && named == terminal {
				return at
			}
		}
	}
	return -1
}

// A reading may bring a finding, and striking it out takes it away: what is looked
// at stays the same thing, or nothing, never what came to stand in its place.
func TestTheFindingLookedAtIsFollowed(t *testing.T) {
	d := open(t)
	rail := find(d, "rail-cross", "G1:+")
	if rail < 0 {
		t.Fatal("the demo machine has no rail cross")
	}
	d.Select(session.Selection{Kind: session.Finding, Finding: rail})

	d.PutTip(session.Red, ref(t, "E1:+"))
	d.PutTip(session.Black, ref(t, "P1:+"))
	entry, err := session.ReadEntry("0.3")
	if err != nil {
		t.Fatal(err)
	}
	if err := d.Log(entry); err != nil {
		t.Fatal(err)
	}
	short := find(d, "short", "P1:+")
	if short < 0 || short > rail {
		t.Fatalf("the new short stands at %d, want it before the rail cross at %d", short, rail)
	}
	if got, want := d.Selection(), (session.Selection{Kind: session.Finding, Finding: find(d, "rail-cross", "G1:+")}); got != want {
		t.Errorf("after the reading %+v is looked at, want the rail cross, %+v", got, want)
	}

	d.Select(session.Selection{Kind: session.Finding, Finding: short})
	d.Undo()
	if find(d, "short", "P1:+") >= 0 {
		t.Fatal("taking the reading back leaves its short")
	}
	if got := d.Selection(); got != (session.Selection{}) {
		t.Errorf("the short is gone, and %+v is looked at, want nothing", got)
	}
}
