package nextprobe

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"bellout/faults"
	"bellout/model"
)

func TestMarksPartAtTheirFirstNumber(t *testing.T) {
	for _, c := range []struct {
		mark, before string
		number       int
		after        string
		ok           bool
	}{
		{"A12b", "A", 12, "b", true}, {"7", "", 7, "", true}, {"+", "", 0, "", false}, {"A1B2", "A", 1, "B2", true},
		{"X007", "X", 7, "", true}, {"", "", 0, "", false}, {"9999999999", "", 0, "", false},
	} {
		before, number, after, ok := splitNumber(c.mark)
		if ok != c.ok || ok && (before != c.before || number != c.number || after != c.after) {
			t.Errorf("%q parts into %q %d %q %v", c.mark, before, number, after, ok)
		}
	}
}

// TestRowsStandAsPeopleCount: pin 10 comes after pin 9, whatever the order of the
// file; fuses that are numbered make a row of the same mark; who is at a place is
// found there.
func TestRowsStandAsPeopleCount(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		pins := rapid.Permutation([]int{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}).Draw(r, "pins")
		fuses := rapid.Permutation([]int{1, 2, 3, 9, 10, 11}).Draw(r, "fuses")
		m := model.NewMachine()
		var changes []model.Change
		changes = append(changes, model.Change{After: model.Device{Ref: "J1", Kind: model.KindConnector, Health: model.HealthUnknown}})
		for _, pin := range pins {
			changes = append(changes, model.Change{After: model.Terminal{Device: "J1", Mark: fmt.Sprint("A", pin), Role: model.RolePass}})
		}
		for _, fuse := range fuses {
			ref := fmt.Sprint("F", fuse)
			changes = append(changes, model.Change{After: model.Device{Ref: ref, Kind: model.KindFuse, Health: model.HealthUnknown}}, model.Change{After: model.Terminal{Device: ref, Mark: "in", Role: model.RolePass}})
		}
		apply(t, m, changes...)
		rows := findRows(m)
		for t := range m.Terminals {
			for which, at := range rows.of[t] {
				if at.row >= 0 && (rows.list[at.row][at.at] != t || rows.at(at, 0) != t) {
					r.Errorf("%v of kind %d is not at its place", m.Terminals[t].Ref(), which)
				}
			}
		}
		first := rows.of[mustIndex(m, model.TerminalRef{Device: "J1", Mark: "A9"})][0]
		if got := m.Terminals[rows.at(first, 1)].Mark; got != "A10" {
			r.Errorf("after A9 comes %s", got)
		}
		across := rows.of[mustIndex(m, model.TerminalRef{Device: "F3", Mark: "in"})][1]
		if got := m.Terminals[rows.at(across, 1)].Device; got != "F9" {
			r.Errorf("after F3 comes %s", got)
		}
		if rows.at(first, -9) != -1 || rows.at(first, 4) != -1 {
			r.Error("a row has no ends")
		}
	})
}

// TestTheFourthPinGoesToTheEighthPlace: pins whose neighbours went to neighbouring
// places go on so.
func TestTheFourthPinGoesToTheEighthPlace(t *testing.T) {
	s := &sketch{}
	plug, block := s.device("J", model.KindConnector, "", 0), s.device("X", model.KindTerminalBlock, "", 0)
	var pins, places []model.TerminalRef
	for n := 1; n <= 12; n++ {
		pins = append(pins, s.terminal(plug, fmt.Sprint(n), model.RolePass, 0))
		places = append(places, s.terminal(block, fmt.Sprint(n), model.RolePass, 0))
	}
	join := func(pin, place int) {
		s.changes = append(s.changes, model.Change{After: model.Wire{Name: fmt.Sprint("W", pin), From: pins[pin-1], To: places[place-1], Basis: model.BasisProbed}})
	}
	join(1, 5)
	join(2, 6)
	join(3, 7)
	const want, far = 8, 11
	m := model.NewMachine()
	apply(t, m, s.changes...)
	p := New(faults.Diagnose(m.Clone()), Options{Goal: Map})
	survey := p.survey()
	factor := func(place int) float64 {
		for _, g := range survey.inOrder(survey.class[mustIndex(m, pins[3])]) {
			if g.class == survey.class[mustIndex(m, places[place-1])] {
				return g.factor()
			}
		}
		return 1
	}
	if factor(want) <= factor(far) || factor(want) < 7 {
		t.Errorf("pin 4 to place %d is made %.1f times as likely, to place %d %.1f times", want, factor(want), far, factor(far))
	}
}

func TestNamesHint(t *testing.T) {
	for _, c := range []struct {
		kind        model.DeviceKind
		title, mark string
		hint        aims
		volts       []float64
	}{
		{model.KindConnector, "plug", "PE", aimEarth, nil},
		{model.KindConnector, "plug", "L1", aimLine, nil},
		{model.KindConnector, "plug", "0V2", aimGround, nil},
		{model.KindConnector, "24 V plug", "3", 0, nil}, // a plug carries more than its title says
		{model.KindTerminalBlock, "24 V block", "3", 0, []float64{24}},
		{model.KindTerminalBlock, "0 V of the lamps", "3", aimGround, nil},
		{model.KindTerminalBlock, "pump returns", "3", aimGround, nil},
		{model.KindFuse, "gate motor", "1", aimHot, nil},
	} {
		hint, volts := hintOf(&model.Device{Ref: "D1", Kind: c.kind, Title: c.title}, c.mark)
		if hint != c.hint || !slices.Equal(volts, c.volts) {
			t.Errorf("%s %q, mark %s: hint %b volts %v, want %b %v", c.kind, c.title, c.mark, hint, volts, c.hint, c.volts)
		}
	}
}
