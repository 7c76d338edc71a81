package faults

import (
	"math"
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
