package causes

import (
	"math"
	"slices"
	"strings"
	"testing"

	"bellout/assets"
	"bellout/faults"
	"bellout/model"
	"bellout/model/tables"
)

// kick: three outputs of a board drive coils without a diode; the board died, and two
// devices on the same return.
const kick = `
device G1 supply limit=10
terminal G1:+ rail 24
terminal G1:- return
device U1 driver health=failed at=2026-03-01 load=0.1
terminal U1:V feed 24
terminal U1:G return
terminal U1:O drive
device Y1 solenoid load=1
terminal Y1:+ feed 24
terminal Y1:- return
link Y1:+-- resistance 24
device U2 driver health=failed at=2026-04-01 load=0.1
terminal U2:V feed 24
terminal U2:G return
terminal U2:O drive
device Y2 solenoid
terminal Y2:1 pass
terminal Y2:2 pass
link Y2:1-2 resistance 24
device A1 controller health=failed at=2026-05-01 load=0.2
terminal A1:V feed 24
terminal A1:G return
device TB1 terminal-block
terminal TB1:1 pass
terminal TB1:2 pass
link TB1:1-2 solid
wire W1 G1:+ U1:V
wire W2 U1:G TB1:1
wire W3 TB1:2 G1:-
wire W4 G1:+ Y1:+
wire W5 Y1:- U1:O
wire W6 G1:+ U2:V
wire W7 U2:G TB1:1
wire W8 U2:O Y2:1
wire W9 Y2:2 G1:-
wire W10 G1:+ A1:V
wire W11 A1:G TB1:1
`

// plugged: a plug carries 12 V and 0 V to three devices, of which two died, and 5 V to
// a third.
const plugged = `
device G1 supply limit=10
terminal G1:+ rail 12
terminal G1:- return
device J1 connector
terminal J1:A1 pass
terminal J1:A2 pass
terminal J1:B1 pass
terminal J1:B2 pass
link J1:A1-B1 solid
link J1:A2-B2 solid
device A1 controller health=failed at=2026-05-01 load=0.2 note=input_fuse_gone,_at_plug-in
terminal A1:V feed 12
terminal A1:G return
device A2 controller health=failed at=2026-05-01 load=0.2 note=input_shorted,_at_plug-in
terminal A2:V feed 12
terminal A2:G return
device A3 controller health=failed at=2026-05-01 load=0.2 note=at_plug-in
terminal A3:V feed 12
terminal A3:G return
device A4 controller health=ok load=0.2
terminal A4:V feed 12
terminal A4:G return
wire W1 G1:+ J1:A1
wire W2 G1:- J1:A2
wire W3 J1:B1 A1:V
wire W4 J1:B2 A1:G
wire W5 J1:B1 A2:V
wire W6 J1:B2 A2:G
wire W7 J1:B1 A3:V
wire W8 J1:B2 A3:G
wire W9 G1:+ A4:V
wire W10 G1:- A4:G
`

// asked are machines on which every mechanism but heat, a surge and a crossing finds a
// place.
func asked(t *testing.T) map[string]*model.Machine {
	t.Helper()
	content, err := tables.ReadFS(t.Context(), assets.Demo(assets.AsFound), "the demo machine")
	if err != nil {
		t.Fatal(err)
	}
	demo, err := content.Machine()
	if err != nil {
		t.Fatal(err)
	}
	return map[string]*model.Machine{
		"third supply": rig(t, thirdSupply), "kick": rig(t, kick), "plug": rig(t, plugged), "demo": demo, "two switches": rig(t, twoSwitches),
		"floating": rig(t, strings.NewReplacer("wire W12 TB0:1 G2:-", "wire W12 G2:- X1:PE", "bond G1:- G2:-", "").Replace(twoSwitches)),
	}
}

// twoSwitches: two supplies with a switch each, and a signal from what one feeds to
// what the other does; neither 0 V meets earth.
const twoSwitches = `
device X1 mains-inlet
terminal X1:L line
terminal X1:N neutral
terminal X1:PE earth
device Q1 switch
terminal Q1:1 pass
terminal Q1:2 pass
link Q1:1-2 contact
device Q2 switch
terminal Q2:1 pass
terminal Q2:2 pass
link Q2:1-2 contact
device G1 supply limit=5
terminal G1:L line
terminal G1:N neutral
terminal G1:+ rail 5
terminal G1:- return
device G2 supply limit=5
terminal G2:L line
terminal G2:N neutral
terminal G2:+ rail 12
terminal G2:- return
device A1 controller health=failed at=2026-05-01 load=0.2
terminal A1:V feed 5
terminal A1:G return
terminal A1:S signal
device A2 controller health=ok load=0.2
terminal A2:V feed 12
terminal A2:G return
terminal A2:S signal
device TB0 terminal-block
terminal TB0:1 pass
terminal TB0:2 pass
link TB0:1-2 solid
bond G1:- G2:-
wire W1 X1:L Q1:1
wire W2 Q1:2 G1:L
wire W3 X1:L Q2:1
wire W4 Q2:2 G2:L
wire W5 X1:N G1:N
wire W6 X1:N G2:N
wire W7 G1:+ A1:V
wire W8 A1:G TB0:1
wire W9 TB0:2 G1:-
wire W10 G2:+ A2:V
wire W11 A2:G G2:-
wire W12 TB0:1 G2:-
wire W13 A1:S A2:S
`

// really ranks by what the machine's own readings say.
func really(m *model.Machine) *Ranking {
	known := faults.Diagnose(m)
	return Rank(known.Analysis(), KnownFrom(known), DefaultWeights())
}

// What is asked about a place runs over it: whoever answers well has answered about
// that place.
func TestWhatIsAskedRunsOverTheSuspect(t *testing.T) {
	met := map[Mechanism]int{}
	for name, m := range asked(t) {
		ranking := really(m)
		s := newScene(faults.Diagnose(m).Analysis(), KnownFrom(faults.Diagnose(m)), DefaultWeights())
		for _, suspect := range ranking.Suspects {
			if suspect.Next == nil {
				continue
			}
			met[suspect.Mechanism]++
			red, _ := m.TerminalIndex(suspect.Next.Red)
			black, _ := m.TerminalIndex(suspect.Next.Black)
			switch suspect.Mechanism {
			case LostReturn, GroundShift:
				over := false
				for id := range s.bench.AsIntended.Elements {
					over = over || s.piecePlace(id) == suspect.Place && s.bench.AsIntended.Elements[id].Kind.Metal() && s.runsOver(red, black, id)
				}
				if !over {
					t.Errorf("%s: %s of %s is asked from %s to %s, which does not run over it", name, suspect.Mechanism, suspect.Place, suspect.Next.Red, suspect.Next.Black)
				}
			case ReversePolarity:
				over := slices.ContainsFunc(s.metal.BridgesBetween(red, black), func(id int) bool {
					return s.bench.Machine.Terminals[s.bench.AsIntended.Elements[id].A].Device == suspect.Device
				})
				if !over {
					t.Errorf("%s: plug %s is asked from %s to %s", name, suspect.Device, suspect.Next.Red, suspect.Next.Black)
				}
			case Overvoltage, Undervoltage, Ripple, Leakage:
				if suspect.Device != "" && suspect.Next.Red.Device != suspect.Device {
					t.Errorf("%s: %s of %s is asked at %s", name, suspect.Mechanism, suspect.Device, suspect.Next.Red)
				}
			case MainsSurge, Heat:
				t.Errorf("%s: %s has a probe: %+v", name, suspect.Mechanism, suspect.Next)
			}
		}
	}
	for _, mechanism := range []Mechanism{LostReturn, GroundShift, ReversePolarity, Overvoltage, Ripple, Leakage, Transient, BackFeed} {
		if met[mechanism] == 0 {
			t.Errorf("nothing was asked about any %s: %v", mechanism, met)
		}
	}
}

// Advice is never inverted: what is called innocent takes points, what is called guilty
// brings some, and never the other way.
func TestAnAnswerCountsTheWayItSays(t *testing.T) {
	number := func(n float64) model.Value { return model.Value{Number: n} }
	open := model.Value{Kind: model.ShowsOL}
	met := map[Mechanism]int{}
	for name, m := range asked(t) {
		for _, suspect := range really(m).Suspects {
			if suspect.Next == nil || suspect.Next.Innocent == (Answer{}) {
				continue
			}
			if suspect.Next.Innocent.Shows == "" || suspect.Next.Guilty.Shows == "" || suspect.Next.Innocent.Means == suspect.Next.Guilty.Means {
				t.Errorf("%s: %s of %s: %+v", name, suspect.Mechanism, suspect.Place, suspect.Next)
			}
			terminal, _ := m.Terminal(suspect.Next.Red)
			volts := terminal.Volts.Or(0)
			answers, known := map[Mechanism][2]model.Value{
				Overvoltage: {number(volts), number(1.6 * volts)}, Ripple: {number(volts / 1000), number(volts / 20)},
				LostReturn: {number(0.3), number(7)}, GroundShift: {number(0.01), number(0.4)}, Transient: {open, number(0.3)},
				Leakage: {number(0.3), open}, BackFeed: {number(0), number(2.5)}, ReversePolarity: {number(0.3), open},
			}[suspect.Mechanism]
			if !known || suspect.Device == "" && suspect.Mechanism == Overvoltage {
				continue
			}
			before := pointsAt(really(m), suspect)
			innocent := pointsAt(really(answered(t, m, suspect.Next, answers[0])), suspect)
			guilty := pointsAt(really(answered(t, m, suspect.Next, answers[1])), suspect)
			if already := slices.ContainsFunc(m.Readings, func(r model.Reading) bool {
				return r.Red == suspect.Next.Red && r.Black == suspect.Next.Black && r.Mode == suspect.Next.Mode && len(r.Conditions) == 0 && r.Stands()
			}); already {
				before = (innocent + guilty) / 2 // it has one of the two answers
			}
			met[suspect.Mechanism]++
			if guilty < before-1e-9 || innocent > before+1e-9 || math.IsNaN(guilty) {
				t.Errorf("%s: %s of %s has %.1f points, %.1f once its probe says guilty, %.1f once it says innocent", name, suspect.Mechanism, suspect.Place, before, guilty, innocent)
			}
			acquitted := slices.ContainsFunc(suspect.Evidence, func(l Line) bool { return strings.Contains(l.Text, "prove every piece") })
			if guilty-innocent < 5 && !acquitted { // else another piece on the way is the bad one
				t.Errorf("%s: whatever %s of %s reads, it makes %.1f points", name, suspect.Mechanism, suspect.Place, guilty-innocent)
			}
		}
	}
	if len(met) < 8 {
		t.Errorf("only these were answered: %v", met)
	}
}

// answered is a machine with one more reading.
func answered(t *testing.T, m *model.Machine, probe *Probe, value model.Value) *model.Machine {
	t.Helper()
	conditions, err := m.ParseConditions(strings.Join(probe.Conditions, ";"))
	if err != nil {
		t.Fatal(err)
	}
	with := m.Clone()
	if err := with.Apply(model.Edit{Changes: []model.Change{{After: model.Reading{
		Number: 900, Stored: 900 << 41, At: onDay(t, "2026-12-01"), Red: probe.Red, Black: probe.Black, Mode: probe.Mode, Value: value, Conditions: conditions,
	}}}}); err != nil {
		t.Fatal(err)
	}
	return with
}

// pointsAt are those of a suspect: 0 where it is no longer one.
func pointsAt(ranking *Ranking, like Suspect) float64 {
	for _, suspect := range ranking.Suspects {
		if suspect.Place == like.Place && suspect.Mechanism == like.Mechanism {
			return suspect.Points
		}
	}
	return math.Inf(-1)
}

// Metal at an output is a dead output, no sound way.
func TestMetalAtAnOutputIsADeadOutput(t *testing.T) {
	for _, c := range []struct{ coil, red, black string }{{"Y1", "U1:O", "U1:G"}, {"Y2", "U2:O", "U2:V"}} {
		ranking := really(rig(t, kick))
		at := slices.IndexFunc(ranking.Suspects, func(s Suspect) bool { return s.Device == c.coil && s.Mechanism == Transient })
		if at < 0 {
			t.Fatalf("%s is no suspect", c.coil)
		}
		next := ranking.Suspects[at].Next
		if next == nil || next.Red.String() != c.red || next.Black.String() != c.black || !slices.Equal(next.Conditions, []string{"unplugged " + c.coil}) {
			t.Fatalf("%s is asked by %+v", c.coil, next)
		}
		if !strings.Contains(next.Guilty.Shows, "Under") || !strings.Contains(next.Guilty.Means, "dead") || strings.Contains(next.Innocent.Shows, "Under") {
			t.Errorf("%s: %+v", c.coil, next)
		}
	}
}

// A plug is a suspect, more so where somebody worked at it, and none where it is keyed.
func TestAPlugPutOnTheWrongWayRound(t *testing.T) {
	ranking := really(rig(t, plugged))
	if best := ranking.Suspects[0]; best.Device != "J1" || best.Mechanism != ReversePolarity || len(best.Reaches) != 3 {
		t.Errorf("the best is %s %s with %.1f points", best.Place, best.Mechanism, best.Points)
	}
	untouched := pointsOf(ranking, "J1", ReversePolarity)
	m := rig(t, plugged)
	if err := m.Apply(model.Edit{Changes: []model.Change{{After: model.Event{At: onDay(t, "2026-04-30"), Device: "J1", Word: model.EventReplaced}}}}); err != nil {
		t.Fatal(err)
	}
	if touched := pointsOf(really(m), "J1", ReversePolarity); touched != untouched+10 {
		t.Errorf("%.1f points once it was worked at, %.1f before", touched, untouched)
	}
	keyed := rig(t, strings.Replace(plugged, "device J1 connector", "device J1 connector note=keyed_housing", 1))
	if points := pointsOf(really(keyed), "J1", ReversePolarity); !math.IsNaN(points) {
		t.Errorf("a keyed plug has %.1f points", points)
	}
}
