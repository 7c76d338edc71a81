package faults

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"bellout/model"
)

func TestExpect(t *testing.T) {
	m := build(t, lock, `
		device U1 controller load=0.1 : VCC feed 24, GND return, I signal
		link U1 VCC GND electronic
		link U1 I GND electronic
		wire W20 TB1:1 U1:VCC
		wire W21 TB0:4 U1:GND`)
	for _, c := range []struct {
		name       string
		red, black string
		mode       model.Mode
		when       string
		want       string
	}{
		{"a wire", "G1:+", "F1:1", model.ModeOhms, "", `{"mode":"ohms","ohm":0,"shows":"beep","known":true,"through":["G1:+","F1:1"]}`},
		{"nothing", "G1:+", "H1:+", model.ModeContinuity, "", `{"mode":"continuity","ohm":null,"shows":"silent","known":true,"through":[]}`},
		{"a lamp", "G2:+", "H1:-", model.ModeContinuity, "", `{"mode":"continuity","ohm":3,"shows":"beep","known":true,"through":["G2:+","H1:+","H1:-"]}`},
		{"electronics only", "U1:I", "U1:GND", model.ModeOhms, "", `{"mode":"ohms","ohm":null,"shows":"silent","known":false,"through":[]}`},
		{"a lifted wire", "G2:+", "H1:+", model.ModeContinuity, "lifted W10", `{"mode":"continuity","ohm":null,"shows":"silent","known":true,"through":[]}`},
		{"volts across a load", "H1:+", "H1:-", model.ModeVoltsDC, "", `{"mode":"volts-dc","volt":12,"shows":"12 V","known":true,"through":[]}`},
		{"volts the other way round", "H1:-", "H1:+", model.ModeVoltsDC, "", `{"mode":"volts-dc","volt":-12,"shows":"-12 V","known":true,"through":[]}`},
		{"volts between two that share nothing", "G1:+", "G2:+", model.ModeVoltsDC, "", `{"mode":"volts-dc","volt":null,"shows":"nothing that the map fixes","known":false,"through":[]}`},
	} {
		t.Run(c.name, func(t *testing.T) {
			conditions, err := m.ParseConditions(c.when)
			if err != nil {
				t.Fatal(err)
			}
			x, err := Expect(m, ref(c.red), ref(c.black), c.mode, conditions)
			if err != nil {
				t.Fatal(err)
			}
			if got := asJSON(x); got != c.want {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
		})
	}
}

// Across the mains no direct volts are expected, on whichever side of a switch or a
// fuse: a transformer makes one island of line and neutral, with 0 V DC in it.
func TestNoVoltsAreExpectedAcrossTheMains(t *testing.T) {
	m := build(t, `
		device X1 mains-inlet limit=10 : L line, N neutral, PE earth
		device Q1 switch : 1 pass, 2 pass, 3 pass, 4 pass
		link Q1 1 2 contact open
		link Q1 3 4 contact open
		device F0 fuse : 1 pass, 2 pass
		link F0 1 2 fuse 2
		device TB9 terminal-block : 1 pass, 2 pass
		link TB9 1 2 solid
		device G1 supply limit=5 : L line, N neutral, PE earth, + rail 24, - return
		link G1 L N resistance 40
		device H1 lamp load=1 : + feed 24, - return
		wire W1 X1:L Q1:1
		wire W2 X1:N Q1:3
		wire W3 Q1:2 F0:1
		wire W4 F0:2 G1:L
		wire W5 Q1:4 TB9:1
		wire W6 TB9:2 G1:N
		wire W7 G1:+ H1:+
		wire W8 H1:- G1:-
		wire W9 X1:PE G1:PE`)
	mains := []string{"X1:L", "X1:N", "Q1:1", "Q1:2", "Q1:3", "Q1:4", "F0:1", "F0:2", "TB9:1", "TB9:2", "G1:L", "G1:N"}
	expecter := NewExpecter(m)
	for _, red := range mains {
		for _, black := range append(mains, "G1:-", "H1:+", "X1:PE") {
			if red == black {
				continue
			}
			for _, tips := range [][2]string{{red, black}, {black, red}} {
				x, err := expecter.Expect(ref(tips[0]), ref(tips[1]), model.ModeVoltsDC, nil)
				if err != nil {
					t.Fatal(err)
				}
				if x.Known || x.Volts.Known || !strings.Contains(x.Words, "Pull the plug") || strings.Contains(x.Words, " 0 V") {
					t.Errorf("%s to %s: %+v", tips[0], tips[1], x)
				}
			}
		}
	}
	if x, err := expecter.Expect(ref("H1:+"), ref("H1:-"), model.ModeVoltsDC, nil); err != nil || !x.Known || x.Volts.Value != 24 {
		t.Errorf("the lamp: %+v, %v", x, err)
	}
}

func TestExpectRefusesWhatItCannotSay(t *testing.T) {
	m := build(t, lock)
	for _, c := range []struct {
		red, black string
		mode       model.Mode
	}{
		{"G1:+", "G1:x", model.ModeOhms}, {"G9:+", "G1:-", model.ModeOhms}, {"G1:+", "G1:+", model.ModeOhms}, {"G1:+", "G1:-", model.ModeVoltsAC},
	} {
		if x, err := Expect(m, ref(c.red), ref(c.black), c.mode, nil); err == nil {
			t.Errorf("%s to %s in %s: got %+v, want an error", c.red, c.black, c.mode, x)
		}
	}
}

func TestExpectAcrossALampBehindAnOpenSwitch(t *testing.T) {
	m := build(t, `
		device G1 supply : + rail 12, - return
		device S1 switch : 1 pass, 2 pass
		link S1 1 2 contact open
		device E1 lamp load=2 : + feed 12, - return
		link E1 + - resistance 1
		wire W1 G1:+ S1:1 gauge=0.5mm2 length=1
		wire W2 S1:2 E1:+ gauge=0.5mm2 length=1
		wire W3 E1:- G1:- gauge=0.5mm2 length=1`)
	for _, c := range []struct {
		red, black string
		want       float64
	}{{"E1:+", "E1:-", 0}, {"S1:1", "S1:2", 12}} {
		got, err := Expect(m, ref(c.red), ref(c.black), model.ModeVoltsDC, nil)
		if err != nil || !got.Known || math.Abs(got.Volts.Value-c.want) > 1e-6 {
			t.Errorf("%s to %s: got %+v, %v; want %v V", c.red, c.black, got, err, c.want)
		}
	}
}

func asJSON(v any) string {
	text, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return string(text)
}
