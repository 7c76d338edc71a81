package judge

import (
	"strings"
	"testing"

	"bellout/graphs"
	"bellout/model"
)

// coil is a coil with its diode, between a rail and an electronic output.
func coil(t *testing.T) *model.Machine {
	t.Helper()
	m := model.NewMachine()
	edit := model.Edit{What: "a coil on an output"}
	add := func(rows ...model.Row) {
		for _, row := range rows {
			edit.Changes = append(edit.Changes, model.Change{After: row})
		}
	}
	for _, ref := range []string{"A1", "Y1"} {
		add(model.Device{Ref: ref, Health: model.HealthUnknown})
	}
	for _, mark := range []string{"V", "0V", "O1"} {
		add(model.Terminal{Device: "A1", Mark: mark})
	}
	add(model.Terminal{Device: "Y1", Mark: "1"}, model.Terminal{Device: "Y1", Mark: "2"},
		model.Link{Device: "A1", From: "V", To: "0V", Kind: model.LinkElectronic},
		model.Link{Device: "A1", From: "O1", To: "0V", Kind: model.LinkElectronic},
		model.Link{Device: "Y1", From: "1", To: "2", Kind: model.LinkResistance, Value: model.Known(24)},
		model.Link{Device: "Y1", From: "2", To: "1", Kind: model.LinkDiode})
	for _, wire := range [][3]string{{"WY", "A1:V", "Y1:1"}, {"WY0", "Y1:2", "A1:O1"}} {
		from, errFrom := model.ParseTerminalRef(wire[1])
		to, errTo := model.ParseTerminalRef(wire[2])
		if errFrom != nil || errTo != nil {
			t.Fatal(errFrom, errTo)
		}
		add(model.Wire{Name: wire[0], From: from, To: to, Basis: model.BasisSeen})
	}
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	return m
}

func TestWhatCannotTellNamesWhatToLift(t *testing.T) {
	j := New(graphs.NewCircuit(coil(t), nil))
	say := func(red, black, text string, conditions ...model.Condition) (Outcome, string) {
		r := value(t, text)
		r.Conditions = model.NewConditions(conditions...)
		var errRed, errBlack error
		r.Red, errRed = model.ParseTerminalRef(red)
		r.Black, errBlack = model.ParseTerminalRef(black)
		if errRed != nil || errBlack != nil {
			t.Fatal(errRed, errBlack)
		}
		judgement := j.Judge(r)
		return judgement.Outcome, j.Say(r, judgement)
	}
	outcome, words := say("Y1:1", "Y1:2", "8")
	if outcome != Undecided || !strings.Contains(words, `lift WY0 (--when "lifted WY0")`) || strings.Contains(words, "diode") {
		t.Errorf("the diode that blocks: %s, %q", outcome, words)
	}
	if _, words = say("Y1:2", "Y1:1", "8"); !strings.Contains(words, "electronics and a diode lie beside it") {
		t.Errorf("the diode that conducts: %q", words)
	}
	if outcome, words = say("Y1:1", "Y1:2", "8", model.Condition{Kind: model.Lifted, Wire: "WY0"}); outcome != Contradicts {
		t.Errorf("with the wire lifted: %s, %q", outcome, words)
	}
	if _, words = say("A1:V", "A1:0V", "1000000"); !strings.Contains(words, "1 Mohm") {
		t.Errorf("across electronics: %q", words)
	}
}

func TestValueText(t *testing.T) {
	for text, want := range map[string]string{"3.4": "3.4 ohm", "4700": "4.7 kohm", "1000000": "1 Mohm", "1e9": "1000 Mohm", "OL": "OL", "beep": "beep", "0.31": "0.31 ohm"} {
		if got := ValueText(value(t, text)); got != want {
			t.Errorf("%s: got %q, want %q", text, got, want)
		}
	}
	if got := ValueText(model.Reading{Mode: model.ModeVoltsDC, Value: model.Value{Number: 11.8}}); got != "11.8 V" {
		t.Errorf("got %q", got)
	}
}
