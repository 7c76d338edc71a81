package book

import (
	"strings"
	"testing"

	"bellout/assets"
	"bellout/model"
)

// Common practice: volts are read against the 0 V of the same supply. Every pin on
// a rail of the demo machine has one, and no other pin does.
func TestAPinIsReadAgainstItsOwnReturn(t *testing.T) {
	f := factsOf(t, demo(t, assets.AsRepaired))
	read := 0
	for _, d := range f.devicesOf("connector") {
		for _, terminal := range f.marks[d.Ref] {
			against := f.ownReturn(terminal.Ref())
			at, _ := f.machine().TerminalIndex(terminal.Ref())
			if onRail := f.bench.OnRail(at); onRail != (against != "") {
				t.Errorf("%s on a rail: %v, read against %q", terminal.Ref(), onRail, against)
			}
			if against == "" {
				continue
			}
			read++
			if !strings.Contains(against, ":") {
				against = d.Ref + ":" + against
			}
			black := ref(t, against)
			if back, there := f.machine().TerminalIndex(black); there && !f.bench.OnReturn(back) {
				t.Errorf("%s is read against %s, which is no 0 V", terminal.Ref(), black)
			}
		}
	}
	if read == 0 {
		t.Error("no pin of a plug carries a rail")
	}
}

// Two supplies that share nothing: the 0 V of the other one shows no volts.
func TestAPinIsNotReadAgainstTheOtherSupply(t *testing.T) {
	m := model.NewMachine()
	edit := model.Edit{Changes: []model.Change{{After: model.Device{Ref: "J1", Kind: model.KindConnector, Health: model.HealthUnknown}}}}
	add := func(rows ...model.Row) {
		for _, row := range rows {
			edit.Changes = append(edit.Changes, model.Change{After: row})
		}
	}
	for _, s := range []struct {
		ref       string
		volts     float64
		rail, ret string // pins
	}{{"G1", 12, "1", "4"}, {"G2", 24, "3", "2"}} {
		add(model.Device{Ref: s.ref, Kind: model.KindSupply, Health: model.HealthUnknown},
			model.Terminal{Device: s.ref, Mark: "+", Role: model.RoleRail, Volts: model.Known(s.volts)}, model.Terminal{Device: s.ref, Mark: "-", Role: model.RoleReturn},
			model.Terminal{Device: "J1", Mark: s.rail}, model.Terminal{Device: "J1", Mark: s.ret},
			model.Wire{Name: "W" + s.rail, From: ref(t, s.ref+":+"), To: ref(t, "J1:"+s.rail), Basis: model.BasisSeen},
			model.Wire{Name: "W" + s.ret, From: ref(t, s.ref+":-"), To: ref(t, "J1:"+s.ret), Basis: model.BasisSeen})
	}
	apply(t, m, edit)
	f := factsOf(t, m)
	for pin, want := range map[string]string{"1": "4", "3": "2", "2": "", "4": ""} {
		if got := f.ownReturn(ref(t, "J1:"+pin)); got != want {
			t.Errorf("J1:%s is read against %q, want %q", pin, got, want)
		}
	}
}
