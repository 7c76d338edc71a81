package graphs

import (
	"slices"
	"testing"

	"bellout/model"
)

// Each condition changes what it names, and nothing else.
func TestConditionsChangeWhatTheyName(t *testing.T) {
	m := build(t,
		device("S1", model.KindSwitch), terminal("S1:1", model.RolePass), terminal("S1:2", model.RolePass), terminal("S1:3", model.RolePass),
		contact("S1", "1", "2", model.StateClosed), link("S1", "1", "2", model.LinkDiode), contact("S1", "2", "3", ""),
		device("J4", model.KindConnector), terminal("J4:1", model.RolePass), terminal("J4:1a", model.RolePass), terminal("J4:2", model.RolePass), terminal("J4:2a", model.RolePass),
		link("J4", "1", "1a", model.LinkSolid), link("J4", "2", "2a", model.LinkSolid),
		device("T1", model.KindTerminalBlock), terminal("T1:1", model.RolePass), terminal("T1:2", model.RolePass), terminal("T1:3", model.RolePass),
		wire("W1", "T1:1", "J4:1"), wire("W2", "T1:1", "J4:1"),
		model.Wire{Name: "W3", From: ref("T1:2"), To: ref("J4:2"), Basis: model.BasisSeen, Removed: true},
	)
	rest := NewCircuit(m, nil)
	for _, test := range []struct {
		conditions   string
		opens, joins []string
		clips        int
	}{
		{"", nil, nil, 0},
		{"unplugged J4", []string{"J4:1:1a:solid", "J4:2:2a:solid"}, nil, 0},
		{"lifted W1", []string{"W1"}, nil, 0},
		{"lifted W3", nil, nil, 0},                          // removed already
		{"open S1:1-2", []string{"S1:1:2:contact"}, nil, 0}, // not the diode across it
		{"open S1:2-1", []string{"S1:1:2:contact"}, nil, 0},
		{"closed S1:2-3; open S1:1-2", []string{"S1:1:2:contact"}, []string{"S1:2:3:contact"}, 0},
		{"unplugged S1", []string{"S1:1:2:contact", "S1:1:2:diode"}, nil, 0},
		{"clipped T1:1 T1:2 T1:3", nil, []string{"clip T1:1 T1:2", "clip T1:1 T1:3"}, 2},
		{"clipped T1:1 T1:2; clipped T1:3 J4:2; lifted W2", []string{"W2"}, []string{"clip J4:2 T1:3", "clip T1:1 T1:2"}, 2},
	} {
		t.Run(test.conditions, func(t *testing.T) {
			conditions, err := m.ParseConditions(test.conditions)
			if err != nil {
				t.Fatal(err)
			}
			c := rest.Under(conditions)
			var opens, joins []string
			for id, e := range c.Elements {
				was := id < len(rest.Elements) && rest.Elements[id].Present
				name := elementNames(c, []int{id})[0]
				switch {
				case was && !e.Present:
					opens = append(opens, name)
				case !was && e.Present:
					joins = append(joins, name)
				}
			}
			if !slices.Equal(opens, test.opens) || !slices.Equal(joins, test.joins) {
				t.Errorf("opens %q, joins %q; want %q, %q", opens, joins, test.opens, test.joins)
			}
			if got := len(c.Elements) - len(rest.Elements); got != test.clips {
				t.Errorf("%d clips, want %d", got, test.clips)
			}
			for terminal := range m.Terminals {
				for _, id := range c.Incident(terminal) {
					if e := c.Elements[id]; e.A != terminal && e.B != terminal {
						t.Errorf("element %d is listed at %s, where it does not end", id, c.Ref(terminal))
					}
				}
			}
		})
	}
	if got := rest.Under(model.NewConditions(model.Condition{Kind: model.Lifted, Wire: "W1"})).Under(
		model.NewConditions(model.Condition{Kind: model.Lifted, Wire: "W2"})); got.Nets().Same(at(t, got, "T1:1"), at(t, got, "J4:1")) {
		t.Error("two conditions one after the other do not add up")
	} else if got.Conditions.String() != "lifted W1; lifted W2" {
		t.Errorf("conditions are %q", got.Conditions)
	}
}

// Without opens elements and leaves the circuit as it was.
func TestWithoutLeavesTheCircuit(t *testing.T) {
	c := diamonds(2)
	other := c.Without(0, 1)
	if !c.Nets().Same(0, 6) || other.Nets().Same(0, 6) || !other.Nets().Same(1, 6) {
		t.Error("nets without two elements are wrong, or those with them changed")
	}
	if again := other.Without(2, 3); again.Nets().Same(1, 3) || !other.Nets().Same(1, 3) {
		t.Error("a circuit without elements loses more in place")
	}
}
