package nextprobe

import (
	"testing"

	"bellout/faults"
	"bellout/model"
)

// likeliest returns the likeliest partner of a terminal, as mapping sees it.
func likeliest(t *testing.T, m *model.Machine, terminal string) model.TerminalRef {
	t.Helper()
	ref, err := model.ParseTerminalRef(terminal)
	if err != nil {
		t.Fatal(err)
	}
	p := New(faults.Diagnose(m.Clone()), Options{Goal: Map})
	s := p.survey()
	near := s.weigh(p, s.class[mustIndex(m, ref)], true)
	if len(near) == 0 {
		t.Fatalf("%s has no likely partner", terminal)
	}
	return m.Terminals[near[0].class.terminals[0]].Ref()
}

// blocksAndPlugs is a machine of ways through: nothing but wires tells one from
// another.
func blocksAndPlugs(t *testing.T, wires ...model.Wire) *model.Machine {
	t.Helper()
	s := &sketch{}
	for range 3 {
		s.block("cabinet", 3) // X1, X2, X3
	}
	for range 3 {
		plug := s.device("J", model.KindConnector, "cabinet", 0)
		for _, mark := range []string{"a", "b", "c", "d"} {
			s.terminal(plug, mark, model.RolePass, 0)
		}
	}
	m := model.NewMachine()
	apply(t, m, s.changes...)
	for _, wire := range wires {
		wire.Basis = model.BasisSeen
		apply(t, m, model.Change{After: wire})
	}
	return m
}

func laid(t *testing.T, name, from, to string, colour model.Colour, cable string) model.Wire {
	t.Helper()
	a, errA := model.ParseTerminalRef(from)
	b, errB := model.ParseTerminalRef(to)
	if errA != nil || errB != nil {
		t.Fatal(errA, errB)
	}
	return model.Wire{Name: name, From: a, To: b, Colour: colour, Cable: cable}
}

// A block that red wires reach goes likelier with another that red wires reach,
// whichever of two it is.
func TestMappingLooksForTheSameColour(t *testing.T) {
	for _, other := range []struct{ red, black string }{{"X2", "X3"}, {"X3", "X2"}} {
		m := blocksAndPlugs(t, laid(t, "W1", "X1:1", "J1:a", "RD", ""), laid(t, "W2", other.red+":1", "J1:b", "RD", ""), laid(t, "W3", other.black+":1", "J1:c", "BK", ""))
		p := New(faults.Diagnose(m.Clone()), Options{Goal: Map})
		s := p.survey()
		class := func(device string) *cluster {
			return s.class[mustIndex(m, model.TerminalRef{Device: device, Mark: "2"})]
		}
		if red, black := s.colours.factor(class("X1"), class(other.red)), s.colours.factor(class("X1"), class(other.black)); red <= 1 || black >= 1 {
			t.Errorf("red to red counts %.2f, red to black %.2f", red, black)
		}
	}
}

// A free core's place goes with a free place at the other end of a cable that
// leads there.
func TestMappingFollowsACable(t *testing.T) {
	for _, far := range []string{"J2", "J3"} {
		m := blocksAndPlugs(t, laid(t, "W1", "J1:a", far+":b", "", "C1"))
		if got := likeliest(t, m, "J1:c"); got.Device != far {
			t.Errorf("the likeliest partner of J1:c is %v; cable C1 leads to %s", got, far)
		}
	}
}
