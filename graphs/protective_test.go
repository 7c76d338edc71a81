package graphs

import (
	"slices"
	"strings"
	"testing"

	"bellout/model"
)

// Which wires are protective conductors: each of a machine that has earth over
// blocks and a plug, a bond of 0 V to earth, and strays.
func TestWhichConductorsAreProtective(t *testing.T) {
	m := model.NewMachine()
	add := func(rows ...model.Row) {
		t.Helper()
		var edit model.Edit
		for _, row := range rows {
			edit.Changes = append(edit.Changes, model.Change{After: row})
		}
		if err := m.Apply(edit); err != nil {
			t.Fatal(err)
		}
	}
	device := func(ref string, marks ...string) {
		add(model.Device{Ref: ref, Health: model.HealthUnknown})
		for _, mark := range marks {
			name, role, _ := strings.Cut(mark, " ")
			add(model.Terminal{Device: ref, Mark: name, Role: model.Role(role)})
		}
	}
	wire := func(name, from, to string, colour model.Colour) {
		a, _ := model.ParseTerminalRef(from)
		b, _ := model.ParseTerminalRef(to)
		add(model.Wire{Name: name, From: a, To: b, Colour: colour, Basis: model.BasisPlanned})
	}
	device("X1", "PE earth", "L line")
	device("X2", "1 pass", "2 pass", "3 pass") // a bar of earth that nothing calls so
	add(model.Link{Device: "X2", From: "1", To: "2", Kind: model.LinkSolid}, model.Link{Device: "X2", From: "2", To: "3", Kind: model.LinkSolid})
	device("J1", "a pass", "b pass", "c pass", "d pass")
	add(model.Link{Device: "J1", From: "a", To: "b", Kind: model.LinkSolid}, model.Link{Device: "J1", From: "c", To: "d", Kind: model.LinkSolid})
	device("X3", "PE1 pass", "PE2 pass", "sh signal")
	device("H1", "case earth", "+ feed", "- return")
	device("H2", "case", "+ feed", "- return")
	device("G1", "+ rail", "- return")
	device("X4", "1 pass", "2 pass", "3 pass") // the star of 0 V, bonded to earth
	add(model.Link{Device: "X4", From: "1", To: "2", Kind: model.LinkSolid}, model.Link{Device: "X4", From: "2", To: "3", Kind: model.LinkSolid})
	wire("earth-at-one-end", "X1:PE", "X2:1", "")
	wire("between-blocks", "X2:2", "J1:a", "BK")
	wire("to-the-case", "J1:b", "H1:case", "")
	wire("a-branch-of-the-bar", "X2:3", "H2:case", "")
	wire("by-its-mark", "X3:PE1", "J1:c", "")
	wire("green-yellow", "J1:c", "H2:+", model.GreenYellow)
	wire("0-V", "G1:-", "X4:1", "")
	wire("0-V-of-a-lamp", "X4:2", "H1:-", "")
	wire("rail", "G1:+", "H1:+", "")
	wire("stray", "G1:+", "X2:3", "")
	wire("line", "X1:L", "H2:-", "")
	c := NewCircuit(m, nil)
	names := func() []string {
		var list []string
		protective := c.Protective()
		for row, w := range m.Wires {
			if protective[row] {
				list = append(list, w.Name)
			}
		}
		return list
	}
	want := []string{"earth-at-one-end", "between-blocks", "to-the-case", "a-branch-of-the-bar", "by-its-mark", "green-yellow", "stray"}
	if got := names(); !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
	wire("bond", "X4:3", "X1:PE", "")
	c = NewCircuit(m, nil)
	got := names()
	for _, name := range []string{"earth-at-one-end", "between-blocks", "to-the-case", "a-branch-of-the-bar", "by-its-mark", "green-yellow", "bond"} {
		if !slices.Contains(got, name) {
			t.Errorf("with 0 V bonded to earth, %s is no protective conductor", name)
		}
	}
	for _, name := range []string{"0-V", "0-V-of-a-lamp", "rail", "line"} {
		if slices.Contains(got, name) {
			t.Errorf("with 0 V bonded to earth, %s is called a protective conductor", name)
		}
	}
	protective := c.Protective()
	if !protective[c.LinkElement(0)] || !protective[c.LinkElement(2)] || protective[c.LinkElement(4)] {
		t.Errorf("links: %v", protective[len(m.Wires):])
	}
	kept := c.LeftInPlace()
	for ref, want := range map[string]bool{"X1": true, "J1": true, "H1": true, "H2": true, "X4": true} {
		if kept.Device(ref) != want {
			t.Errorf("%s stays plugged in: %v", ref, !want)
		}
	}
	err := NoneOpensProtective(m, model.NewConditions(model.Condition{Kind: model.Lifted, Wire: "between-blocks"}))
	if err == nil || !strings.Contains(err.Error(), "between-blocks is a protective conductor") {
		t.Errorf("lifted: %v", err)
	}
	if err := NoneOpensProtective(m, model.NewConditions(model.Condition{Kind: model.Unplugged, Device: "J1"}, model.Condition{Kind: model.Lifted, Wire: "rail"})); err != nil {
		t.Errorf("a record of what was done: %v", err)
	}
}
