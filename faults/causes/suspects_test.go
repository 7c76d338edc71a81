package causes

import (
	"math"
	"slices"
	"testing"
)

// thirdSupply: three devices on two supplies fail in turn. Their returns and
// that of a third supply, which drives motors, meet at one block and go to the
// star from there; healthy twins return to the star by another block. All wires
// are proven.
const thirdSupply = `
device G1 supply limit=5
device G2 supply limit=5
device G3 supply limit=8
terminal G1:+ rail 5
terminal G1:- return
terminal G2:+ rail 12
terminal G2:- return
terminal G3:+ rail 36
terminal G3:- return
device TB0 terminal-block
terminal TB0:1 pass
terminal TB0:2 pass
terminal TB0:3 pass
terminal TB0:4 pass
link TB0:1-2 solid
link TB0:2-3 solid
link TB0:3-4 solid
device TB5 terminal-block
terminal TB5:1 pass
terminal TB5:2 pass
link TB5:1-2 solid
wire W1 G1:- TB0:1
wire W2 G2:- TB0:2
wire W3 G3:- TB5:1
wire W4 TB5:2 TB0:3
bond G1:- G2:-
bond G2:- G3:-
device M1 motor load=3 health=ok
terminal M1:+ feed 36
terminal M1:- return
wire W5 G3:+ M1:+
wire W6 M1:- TB5:2
device A1 controller health=failed at=2026-03-01 load=0.2
terminal A1:V feed 5
terminal A1:G return
wire W10 G1:+ A1:V
wire W11 A1:G TB5:1
device A2 sensor health=failed at=2026-04-01 load=0.1
terminal A2:V feed 5
terminal A2:G return
wire W12 G1:+ A2:V
wire W13 A2:G TB5:1
device H1 hub health=failed at=2026-05-01 load=0.3
terminal H1:V feed 12
terminal H1:G return
wire W14 G2:+ H1:V
wire W15 H1:G TB5:2
device A3 controller health=ok load=0.2
terminal A3:V feed 5
terminal A3:G return
wire W16 G1:+ A3:V
wire W17 A3:G TB0:4
device A4 sensor health=ok load=0.1
terminal A4:V feed 5
terminal A4:G return
wire W18 G1:+ A4:V
wire W19 A4:G TB0:4
device H2 hub health=ok load=0.3
terminal H2:V feed 12
terminal H2:G return
wire W20 G2:+ H2:V
wire W21 H2:G TB0:3
`

func TestTheThirdSupplyThatSharesOnlyTheReturn(t *testing.T) {
	ranking := rank(t, rig(t, thirdSupply))
	if len(ranking.Failed) != 3 {
		t.Fatalf("failed %v", ranking.Failed)
	}
	best := ranking.Suspects[0]
	if best.Device != "G3" || best.Mechanism != Ripple {
		t.Fatalf("best is %s %s with %.1f points; %+v", best.Place, best.Mechanism, best.Points, ranking.Suspects)
	}
	if got := len(best.Reaches); got != 3 {
		t.Errorf("it reaches %v", best.Reaches)
	}
	if len(best.By) != 1 || best.By[0] != "return" {
		t.Errorf("by %v, want the return", best.By)
	}
	if p := best.Next; p == nil || p.Mode != "volts-ac" || p.Red.String() != "G3:+" || p.Black.String() != "G3:-" {
		t.Errorf("next %+v, want the ripple at G3", p)
	}
	var sum float64
	for _, suspect := range ranking.Suspects {
		sum += suspect.Share
	}
	if math.Abs(sum-1) > 1e-9 {
		t.Errorf("shares sum to %g", sum)
	}
}

func TestARippleReadingSettlesIt(t *testing.T) {
	high := rank(t, rig(t, thirdSupply+"reading G3:+ G3:- volts-ac 1.4"))
	if best := high.Suspects[0]; best.Device != "G3" || best.Mechanism != Ripple || high.Verdict != Strong {
		t.Errorf("1.4 V of ripple on 36 V: %s %s, %s", best.Place, best.Mechanism, high.Verdict)
	}
	low := rank(t, rig(t, thirdSupply+"reading G3:+ G3:- volts-ac 0.05"))
	if best := low.Suspects[0]; best.Mechanism == Ripple && best.Device == "G3" {
		t.Errorf("50 mV of ripple on 36 V and still %s %s, %.1f points", best.Place, best.Mechanism, best.Points)
	}
}

func TestAHighSupplyIsReadFromItsVolts(t *testing.T) {
	ranking := rank(t, rig(t, thirdSupply+"reading G1:+ G1:- volts-dc 7.9"))
	var found bool
	for _, suspect := range ranking.Suspects {
		if suspect.Device == "G1" && suspect.Mechanism == Overvoltage {
			found = true
			for _, line := range suspect.Evidence {
				if line.Points == 20 {
					return
				}
			}
		}
	}
	t.Errorf("no line of 20 points for G1 reading 7.9 V on a 5 V output (candidate found: %v)", found)
}

func TestNoFailedDeviceNoSuspect(t *testing.T) {
	m := rig(t, "device G1 supply\nterminal G1:+ rail 5\nterminal G1:- return")
	if ranking := rank(t, m); ranking.Verdict != None || len(ranking.Suspects) != 0 || ranking.Failed == nil {
		t.Errorf("%+v", ranking)
	}
}

// What all failed devices have and no healthy one comes first.
func TestWhatTheFailedShare(t *testing.T) {
	list := rank(t, rig(t, thirdSupply)).Shared
	if len(list) == 0 || list[0].Element != "W4" || list[0].Kind != "return" || len(list[0].Failed) != 3 || len(list[0].Healthy) != 0 {
		t.Fatalf("%+v, want W4 first", list)
	}
	for _, one := range list {
		switch one.Element {
		case "W11", "W15":
			t.Errorf("%s carries one device", one.Element)
		case "G1":
			if !slices.Equal(one.Failed, []string{"A1", "A2"}) || !slices.Equal(one.Healthy, []string{"A3", "A4"}) {
				t.Errorf("%+v", one)
			}
		}
		if len(one.Healthy) == 0 && one.Element != "W4" && one.Element != "TB5:1-2" {
			t.Errorf("%+v is shared by healthy ones", one)
		}
	}
}
