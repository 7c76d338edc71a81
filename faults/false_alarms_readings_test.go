package faults

import (
	"testing"

	"bellout/faults/judge"
)

// The false alarms of bench practice, A01 to A12: what the meter shows there is
// no fault. Each agrees with the map or can't tell, and none makes a finding.
func TestFalseAlarms(t *testing.T) {
	for _, c := range []struct {
		id, name string
		machine  string
		readings string
		want     []judge.Outcome
	}{
		{"A01", "a coil in the path beeps from rail to return", lock,
			"G1:+ G1:- beep\nG1:+ G1:- 5.1", []judge.Outcome{judge.Agrees, judge.Agrees}},
		{"A01", "a motor winding whose shaft turned", `
			device G1 supply : + rail 24, - return
			device M1 motor load=2 : + feed 24, - return
			link M1 + - resistance 4
			wire W1 G1:+ M1:+
			wire W2 M1:- G1:-`,
			"G1:+ G1:- 2.9\nG1:+ G1:- 5.8", []judge.Outcome{judge.Agrees, judge.Agrees}},
		{"A02", "cold lamps in parallel read a fraction of an ohm", `
			device G1 supply : + rail 12, - return
			device H1 lamp load=1.75 : + feed 12, - return
			device H2 lamp load=1.75 : + feed 12, - return
			link H1 + - resistance 0.6
			link H2 + - resistance 0.6
			wire W1 G1:+ H1:+
			wire W2 H1:+ H2:+
			wire W3 H1:- G1:-
			wire W4 H2:- G1:-`,
			"G1:+ G1:- 0.5\nG1:+ G1:- beep", []judge.Outcome{judge.Agrees, judge.Agrees}},
		{"A03", "a supply's output stage and bleeder climb, unequal both ways", supplies,
			"G1:+ G1:- 870 rising\nG1:- G1:+ 1.2k\nG1:+ G1:- 2.2k steady", []judge.Outcome{judge.Undecided, judge.Undecided, judge.Agrees}},
		{"A03", "a supply whose inside is not on the map", `
			device G1 supply : + rail 24, - return
			device E1 solenoid load=1 : + feed 24, - return
			link E1 + - electronic
			wire W1 G1:+ E1:+
			wire W2 E1:- G1:-`,
			"G1:+ G1:- 3.3k", []judge.Outcome{judge.Undecided}},
		{"A04", "a capacitor beeps, then its ohms climb", `
			device G1 supply : + rail 24, - return
			link G1 + - capacitance 0.001
			device TB1 terminal-block : 1 pass
			wire W1 G1:+ TB1:1`,
			"TB1:1 G1:- beep\nTB1:1 G1:- 45 rising\nTB1:1 G1:- 80 falling", []judge.Outcome{judge.Undecided, judge.Undecided, judge.Undecided}},
		{"A05", "a diode conducts one way", diode,
			"D1:A D1:K 0.58 mode=diode\nD1:K D1:A OL mode=diode\nD1:A D1:K 1.4k\nD1:K D1:A OL",
			[]judge.Outcome{judge.Agrees, judge.Agrees, judge.Undecided, judge.Agrees}},
		{"A05", "a body diode that is not on the map", `
			device Q1 driver : D drive, S return
			device TB1 terminal-block : 1 pass
			device TB2 terminal-block : 1 pass
			wire W1 Q1:D TB1:1
			wire W2 Q1:S TB2:1`,
			"TB2:1 TB1:1 0.55 mode=diode\nTB1:1 TB2:1 OL mode=diode", []judge.Outcome{judge.Undecided, judge.Agrees}},
		{"A06", "an LED strip reads OL", `
			device G1 supply : + rail 12, - return
			device D1 led-strip load=1 : + feed 12, - return
			link D1 + - electronic
			wire W1 G1:+ D1:+
			wire W2 D1:- G1:-`,
			"G1:+ G1:- OL\nD1:- D1:+ 240k\nD1:+ D1:- 38k\nD1:+ D1:- silent", []judge.Outcome{judge.Agrees, judge.Agrees, judge.Undecided, judge.Agrees}},
		{"A07", "a controller's input reads kilohms, unequal", `
			device G1 supply : + rail 5, - return
			device U1 controller load=0.2 : VCC feed 5, GND return, I1 signal
			link U1 VCC GND electronic
			link U1 I1 GND electronic
			device S1 sensor : O signal
			wire W1 G1:+ U1:VCC
			wire W2 U1:GND G1:-
			wire W3 S1:O U1:I1`,
			"S1:O G1:- 14k\nG1:- S1:O 9.1k\nS1:O G1:+ 31k", []judge.Outcome{judge.Undecided, judge.Undecided, judge.Undecided}},
		{"A08", "a way through two supplies and their common 0 V", supplies,
			"G1:+ G2:+ 4.4k\nG1:+ G2:+ silent", []judge.Outcome{judge.Agrees, judge.Agrees}},
		{"A09", "shields and chassis join the 0 V sides", `
			device G1 supply : + rail 24, - return
			device G2 supply : + rail 5, - return
			device PC1 computer load=2 : V feed 5, GND return, SH signal
			link PC1 GND SH solid
			device U1 hub load=0.2 : V feed 24, GND return, SH signal
			link U1 GND SH solid
			bond G1:- G2:-
			wire W1 G1:+ U1:V
			wire W2 U1:GND G1:-
			wire W3 G2:+ PC1:V
			wire W4 PC1:GND G2:-
			wire W5 PC1:SH U1:SH cable=USB1`,
			"G1:- G2:- 0.4\nG1:- G2:- beep", []judge.Outcome{judge.Agrees, judge.Agrees}},
		{"A10", "the intended bond of 0 V and earth", `
			device X1 mains-inlet : L line, N neutral, PE earth
			device G1 supply : + rail 24, - return
			device E1 solenoid load=1 : + feed 24, - return
			link E1 + - resistance 20
			wire W1 G1:+ E1:+
			wire W2 E1:- G1:-
			device TB9 terminal-block : 1 earth
			wire W3 X1:PE TB9:1 colour=GNYE
			bond G1:- X1:PE`,
			"G1:- TB9:1 0.3\nE1:- X1:PE beep\nG1:+ X1:PE 20.2", []judge.Outcome{judge.Agrees, judge.Agrees, judge.Agrees}},
		{"A11", "a transformer primary across line and neutral", mainsSide,
			"X1:L X1:N 38", []judge.Outcome{judge.Agrees}},
		{"A12", "filter and discharge parts of the mains side", mainsSide,
			"X2:L X2:N 470k\nX2:L X2:PE OL", []judge.Outcome{judge.Agrees, judge.Agrees}},
		{"A15", "leads and fingers", lock,
			"G1:+ F1:1 0.4\nG1:+ G2:+ 1.8M", []judge.Outcome{judge.Agrees, judge.Agrees}},
		{"A16", "residual volts while reading ohms", lock,
			"G1:+ G1:- -12", []judge.Outcome{judge.Undecided}},
		{"A17", "a relay contact in the position that the reading notes", `
			device K1 relay : 11 pass, 14 pass
			link K1 11 14 contact open
			device TB1 terminal-block : 1 pass
			device TB2 terminal-block : 1 pass
			wire W1 TB1:1 K1:11
			wire W2 TB2:1 K1:14`,
			"TB1:1 TB2:1 silent\nTB1:1 TB2:1 beep when \"closed K1:11-14\"", []judge.Outcome{judge.Agrees, judge.Agrees}},
		{"A17", "a contact of unknown position", `
			device S1 switch : 1 pass, 2 pass
			link S1 1 2 contact
			device TB1 terminal-block : 1 pass
			device TB2 terminal-block : 1 pass
			wire W1 TB1:1 S1:1
			wire W2 TB2:1 S1:2`,
			"TB1:1 TB2:1 beep", []judge.Outcome{judge.Undecided}},
	} {
		t.Run(c.id+" "+c.name, func(t *testing.T) {
			m := build(t, c.machine)
			clean := len(Check(m).Findings)
			read(t, m, c.readings)
			b := NewAnalysis(m)
			for i, want := range c.want {
				w := b.evidence.weighed[int64(i+1)]
				if w.judgement.Outcome != want {
					t.Errorf("reading %d, %s: %s, want %s (%s)", i+1, w.reading.Value, w.judgement.Outcome, want, b.evidence.judge.Say(w.reading, w.judgement))
				}
			}
			report := Check(m)
			if len(report.Findings) != clean {
				for _, f := range report.Findings {
					t.Errorf("finding %s: %s", f.Rule, f.Message)
				}
			}
		})
	}
}

const supplies = `
	device G1 supply : + rail 24, - return
	link G1 + - resistance 2200
	device G2 supply : + rail 12, - return
	link G2 + - resistance 2200
	bond G1:- G2:-
	device TB0 terminal-block : 1 pass, 2 pass
	link TB0 1 2 solid
	wire W1 G1:- TB0:1
	wire W2 G2:- TB0:2
`

const diode = `
	device D1 other : A pass, K pass
	link D1 A K diode
	device TB1 terminal-block : 1 pass
	device TB2 terminal-block : 1 pass
	wire W1 TB1:1 D1:A
	wire W2 TB2:1 D1:K
`

const mainsSide = `
	device X1 mains-inlet limit=10 : L line, N neutral
	device T1 other : 1 pass, 2 pass
	link T1 1 2 resistance 40
	wire W1 X1:L T1:1
	wire W2 T1:2 X1:N
	device X2 mains-inlet limit=10 : L line, N neutral, PE earth
	link X2 L N resistance 470000
`
