package nextprobe

import (
	"fmt"
	"testing"

	"bellout/faults"
	"bellout/graphs"
	"bellout/model"
)

// A plug of eight lines that was pinned from the wrong face: after one line that
// is silent and one that lands elsewhere the planner asks for what tells, and
// ends with the plug, not with eight wires.
func TestLocateEndsWithAMirroredPlug(t *testing.T) {
	const pins = 8
	machine := func(pin func(k int) int) *model.Machine {
		m := model.NewMachine()
		for _, ref := range []string{"U1", "J1"} {
			apply(t, m, model.Change{After: model.Device{Ref: ref, Health: model.HealthUnknown}})
		}
		for k := 1; k <= pins; k++ {
			s := fmt.Sprintf("S%d", k)
			apply(t, m, model.Change{After: model.Device{Ref: s, Health: model.HealthUnknown}}, model.Change{After: model.Terminal{Device: s, Mark: "X", Role: model.RoleSignal}},
				model.Change{After: model.Terminal{Device: "U1", Mark: fmt.Sprintf("O%d", k), Role: model.RoleSignal}},
				model.Change{After: model.Terminal{Device: "J1", Mark: fmt.Sprint(k), Role: model.RolePass}},
				model.Change{After: model.Terminal{Device: "J1", Mark: fmt.Sprint(k, "a"), Role: model.RolePass}})
		}
		for k := 1; k <= pins; k++ {
			apply(t, m, model.Change{After: model.Link{Device: "J1", From: fmt.Sprint(k), To: fmt.Sprint(k, "a"), Kind: model.LinkSolid}},
				model.Change{After: model.Wire{Name: fmt.Sprintf("A%d", k), From: model.TerminalRef{Device: "U1", Mark: fmt.Sprintf("O%d", k)}, To: model.TerminalRef{Device: "J1", Mark: fmt.Sprint(pin(k))}, Basis: model.BasisPlanned}},
				model.Change{After: model.Wire{Name: fmt.Sprintf("B%d", k), From: model.TerminalRef{Device: "J1", Mark: fmt.Sprint(k, "a")}, To: model.TerminalRef{Device: fmt.Sprintf("S%d", k), Mark: "X"}, Basis: model.BasisPlanned}})
		}
		return m
	}
	m := machine(func(k int) int { return k })
	truth := graphs.NewCircuit(machine(func(k int) int { return pins + 1 - k }), nil)
	read := func(red, black model.TerminalRef, conditions model.Conditions, mode model.Mode) model.Reading {
		c := truth
		if len(conditions) > 0 {
			c = truth.Under(conditions)
		}
		a, _ := m.TerminalIndex(red)
		b, _ := m.TerminalIndex(black)
		joined := c.Ohms(a, b) < 1
		r := model.Reading{Number: int64(len(m.Readings) + 1), Stored: int64(len(m.Readings) + 1), Red: red, Black: black, Mode: mode, Conditions: conditions}
		switch {
		case mode == model.ModeContinuity && joined:
			r.Value = model.Value{Kind: model.ShowsBeep}
		case mode == model.ModeContinuity:
			r.Value = model.Value{Kind: model.ShowsSilent}
		case joined:
			r.Value = model.Value{Number: 0.2}
		default:
			r.Value = model.Value{Kind: model.ShowsOL}
		}
		apply(t, m, model.Change{After: r})
		return r
	}
	out := func(k int) model.TerminalRef { return model.TerminalRef{Device: "U1", Mark: fmt.Sprintf("O%d", k)} }
	station := func(k int) model.TerminalRef {
		return model.TerminalRef{Device: fmt.Sprintf("S%d", k), Mark: "X"}
	}
	read(out(3), station(3), nil, model.ModeContinuity)
	read(out(3), station(6), nil, model.ModeContinuity)
	planner := New(faults.Diagnose(m.Clone()), Options{Goal: Locate})
	const most = 12
	probes := 0
	for ; probes < most; probes++ {
		next := planner.Next()
		if next.Done {
			break
		}
		read(next.Probe.Red, next.Probe.Black, next.Probe.Conditions, next.Probe.Mode)
		planner.Follow(faults.Diagnose(m.Clone()))
	}
	var found []faults.Finding
	for _, f := range planner.known.Report().Findings {
		if f.Severity == faults.Fault {
			found = append(found, f)
		}
	}
	if len(found) != 1 || found[0].Rule != "swapped" || found[0].Devices[0] != "J1" || probes == most {
		t.Errorf("after %d probes: %+v, want J1 swapped alone", probes, found)
	}
}
