package faults

import (
	"slices"
	"strings"
	"testing"

	"bellout/model"
)

// bench24 has a switch, a fuse, a coil with its diode on an electronic output
// and a lamp.
const bench24 = `
	device G1 supply limit=5 : + rail 24, - return
	device F1 fuse : 1 pass, 2 pass
	link F1 1 2 fuse 4
	device S1 switch : 1 pass, 2 pass
	link S1 1 2 contact open
	device X0 terminal-block : 1 pass, 2 pass, 3 pass
	link X0 1 2 solid
	link X0 2 3 solid
	device E1 lamp load=1 : + feed 24, - return
	link E1 + - resistance 3
	device A1 driver load=0.1 : V+ feed 24, 0V return, O1 drive
	link A1 O1 0V electronic
	link A1 V+ 0V electronic
	device Y1 solenoid load=1 : 1 feed 24, 2 return
	link Y1 1 2 resistance 24
	link Y1 2 1 diode
	wire WF G1:+ F1:1
	wire WS F1:2 S1:1
	wire WE S1:2 E1:+
	wire WE0 E1:- X0:1
	wire WA F1:2 A1:V+
	wire WA0 A1:0V X0:2
	wire WY A1:V+ Y1:1
	wire WY0 Y1:2 A1:O1
	wire W0 X0:3 G1:-
`

func TestReadingsThatNoFindingCovers(t *testing.T) {
	for _, c := range []struct {
		name, readings string
		want           []string // a piece of the words of each
	}{
		{"what agrees is not listed", "G1:+ F1:1 beep\nY1:1 Y1:2 24.2", nil},
		{"a contact drawn open reads metal once", "S1:1 S1:2 0.2",
			[]string{`1 reading contradicts the map: 1 (S1:1 to S1:2: 0.2 ohm). S1:1-2 reads closed where its position says open: look at the position and repeat the reading once; closed twice it is welded. ` +
				`If it does stand closed, note it (--when "closed S1:1-2") or correct the map.`}},
		{"a lifted wire reads joined", `E1:- X0:1 0.2 when "lifted WE0"`,
			[]string{"There is another way round that the map lacks, or WE0 is not what was taken off."}},
		{"volts across no rail", "F1:1 A1:O1 12 mode=volts-dc", []string{"Measure at the supply's own terminals, then half-way."}},
		{"a coil of another value", "Y1:1 Y1:2 8 when \"lifted WY0\"\nY1:2 Y1:1 8 when \"lifted WY0\"", []string{"Coil Y1 has about "}},
	} {
		t.Run(c.name, func(t *testing.T) {
			report := Check(read(t, build(t, bench24), c.readings))
			var got []string
			for _, u := range report.Unexplained {
				got = append(got, u.Words)
			}
			if len(got) != len(c.want) {
				t.Fatalf("got %q, want %d", got, len(c.want))
			}
			for i, piece := range c.want {
				if !strings.Contains(got[i], piece) {
					t.Errorf("got %q, want %q in it", got[i], piece)
				}
			}
			for _, finding := range report.Findings {
				if finding.Rule == nameMixedGround || finding.Rule == nameShort {
					t.Errorf("a join that is none: %s", finding.Message)
				}
			}
		})
	}
}

func TestStaleAndStruckReadingsAreNotListed(t *testing.T) {
	m := read(t, build(t, bench24), "S1:1 S1:2 0.2", "S1:1 S1:2 0.2")
	for _, r := range slices.Clone(m.Readings) {
		struck := r
		struck.Struck = "slip"
		if err := m.Apply(model.Edit{Changes: []model.Change{{Before: r, After: struck}}}); err != nil {
			t.Fatal(err)
		}
	}
	if got := Check(m).Unexplained; len(got) > 0 {
		t.Errorf("got %v", got)
	}
}

func TestOpenAcrossParts(t *testing.T) {
	for _, c := range []struct {
		name, readings string
		terminals      []string
		message        string
		advice         string
	}{
		{"a contact noted closed", "S1:1 S1:2 OL when \"closed S1:1-2\"\nS1:1 S1:2 OL when \"closed S1:1-2\"",
			[]string{"S1:1", "S1:2"}, "S1:1-2 does not conduct", "Read across it 2 times alike"},
		{"a fuse read once", "F1:1 F1:2 OL", []string{"F1:1", "F1:2"}, "else the tips slipped", "Repeat the same touch with firm tips, F1:1 to F1:2"},
		{"5 Mohm across a lamp is open", "E1:+ E1:- 5M\nE1:+ E1:- 5M", []string{"E1:+", "E1:-"}, "Lamp E1 does not conduct", "about 3 ohm acquits it"},
		{"a coil that lets its diode show", "Y1:2 Y1:1 0.55 mode=diode\nY1:2 Y1:1 0.55 mode=diode", []string{"Y1:1", "Y1:2"}, "Coil Y1 does not conduct", "about 24 ohm acquits it"},
		{"5 Mohm along a wire is open", "E1:- X0:1 5M\nE1:- X0:1 5M", []string{"E1:-", "X0:1"}, "WE0 (E1:- to X0:1) does not conduct", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			report := Check(read(t, build(t, bench24), c.readings))
			if len(report.Findings) != 1 || report.Findings[0].Rule != nameOpen || !slices.Equal(report.Findings[0].Terminals, c.terminals) {
				t.Fatalf("got %+v", report.Findings)
			}
			finding := report.Findings[0]
			if !strings.Contains(finding.Message, c.message) || !strings.Contains(finding.Advice, c.advice) {
				t.Errorf("got %q %q", finding.Message, finding.Advice)
			}
		})
	}
}

// A first OL straight across a fuse or a contact says about as much as one
// across a wire with both its joints.
func TestOneTouchAcrossAWireAFuseAndAContact(t *testing.T) {
	sure := func(reading string) float64 {
		findings := Check(read(t, build(t, bench24), reading)).Findings
		if len(findings) != 1 {
			t.Fatalf("%s: %v", reading, findings)
		}
		return findings[0].Confidence
	}
	wire := sure("E1:- X0:1 OL")
	for _, reading := range []string{"F1:1 F1:2 OL", `S1:1 S1:2 OL when "closed S1:1-2"`} {
		if got := sure(reading); got < wire-0.2 || got > wire+0.2 {
			t.Errorf("%s is %.2f sure, across a wire %.2f", reading, got, wire)
		}
	}
}

func TestRivalsStandAfterTheCulpritAndSumToNoMoreThanOne(t *testing.T) {
	m := read(t, build(t, bench24), `A1:V+ G1:- 0.3 when "unplugged A1; unplugged Y1"`)
	findings := Check(m).Findings
	if len(findings) != 1 || findings[0].Rule != nameShort {
		t.Fatalf("got %v", findings)
	}
	f := findings[0]
	if len(f.Culprit.Wires) > 0 || len(f.Culprit.Terminals) != 2 || !slices.Equal(f.Terminals[:2], f.Culprit.Terminals) {
		t.Errorf("blames %v, lists %v %v", f.Culprit, f.Wires, f.Terminals)
	}
	for _, readings := range []string{
		`A1:V+ G1:- 0.3 when "unplugged A1; unplugged Y1"`, "E1:- G1:- OL", "G1:- E1:- OL\nS1:2 E1:- 0.3 when \"unplugged E1\"\nG1:- E1:+ 0.3 when \"unplugged E1\"",
	} {
		m := read(t, build(t, bench24), readings)
		for _, explanation := range NewAnalysis(m).evidence.explainer.Explain() {
			for _, cause := range explanation.Causes {
				sum := cause.Confidence + cause.Mistaken
				for _, rival := range cause.Rivals {
					if cause.Fault != "short" || rival.Fault != "short" { // elsewhere is the same join
						sum += rival.Confidence
					}
				}
				if sum > 1+1e-9 {
					t.Errorf("%s: %v and its rivals %v sum to %.3f", readings, cause.Place, cause.Rivals, sum)
				}
			}
		}
	}
}

// The order of rows means nothing, to the words of findings neither.
func TestRowsInAnotherOrderGiveTheSameWords(t *testing.T) {
	const readings = "A1:V+ E1:- 0.3 when \"unplugged A1; unplugged Y1; unplugged E1\"\nS1:1 S1:2 0.2\nA1:O1 X0:1 0.2 when \"unplugged Y1\""
	m := read(t, build(t, bench24), readings)
	turned := m.Clone()
	reversed := model.NewMachine()
	var changes []model.Change
	for _, row := range slices.Backward(turned.Devices) {
		changes = append(changes, model.Change{After: row})
	}
	for _, row := range slices.Backward(turned.Terminals) {
		changes = append(changes, model.Change{After: row})
	}
	for _, row := range slices.Backward(turned.Links) {
		changes = append(changes, model.Change{After: row})
	}
	for _, row := range slices.Backward(turned.Wires) {
		changes = append(changes, model.Change{After: row})
	}
	for _, row := range turned.Readings {
		changes = append(changes, model.Change{After: row})
	}
	if err := reversed.Apply(model.Edit{Changes: changes}); err != nil {
		t.Fatal(err)
	}
	one, other := Check(m), Check(reversed)
	if len(one.Findings) == 0 {
		t.Fatal("nothing to compare")
	}
	for i := range one.Findings {
		if i >= len(other.Findings) || one.Findings[i].Message != other.Findings[i].Message || one.Findings[i].Advice != other.Findings[i].Advice {
			t.Errorf("one order: %q\nthe other: %+v", one.Findings[i].Message, other.Findings)
		}
	}
	for i := range one.Unexplained {
		if one.Unexplained[i].Words != other.Unexplained[i].Words {
			t.Errorf("one order: %q\nthe other: %q", one.Unexplained[i].Words, other.Unexplained[i].Words)
		}
	}
}
