package faults

import (
	"context"
	"slices"
	"testing"

	"bellout/assets"
	"bellout/model"
	"bellout/model/sample"
	"bellout/model/tables"
)

// fused is a supply, a fuse, a switch that stands open, a lamp of 2 A and the
// wire home; a second lamp hangs before the fuse.
func fused(t *testing.T) *model.Machine {
	t.Helper()
	ref := func(text string) model.TerminalRef {
		r, err := model.ParseTerminalRef(text)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	terminal := func(text string, role model.Role, volts model.Optional) model.Terminal {
		return model.Terminal{Device: ref(text).Device, Mark: ref(text).Mark, Role: role, Volts: volts}
	}
	wire := func(name, from, to string) model.Wire {
		return model.Wire{Name: name, From: ref(from), To: ref(to), Basis: model.BasisSeen, LengthMetres: model.Known(1),
			Gauge: model.Gauge{System: model.GaugeMetric, AreaMM2: 1}}
	}
	lamp := func(name string, amps float64) model.Device {
		return model.Device{Ref: name, Kind: model.KindLamp, Health: model.HealthUnknown, LoadAmps: model.Known(amps)}
	}
	v12, none := model.Known(12), model.Optional{}
	m := model.NewMachine()
	edit := model.Edit{}
	for _, row := range []model.Row{
		model.Device{Ref: "G1", Kind: model.KindSupply, Health: model.HealthUnknown, LimitAmps: model.Known(10)},
		model.Device{Ref: "F1", Kind: model.KindFuse, Health: model.HealthUnknown},
		model.Device{Ref: "S1", Kind: model.KindSwitch, Health: model.HealthUnknown},
		lamp("E1", 2), lamp("E2", 1),
		terminal("G1:+", model.RoleRail, v12), terminal("G1:-", model.RoleReturn, none),
		terminal("F1:1", model.RolePass, none), terminal("F1:2", model.RolePass, none),
		terminal("S1:1", model.RolePass, none), terminal("S1:2", model.RolePass, none),
		terminal("E1:+", model.RoleFeed, v12), terminal("E1:-", model.RoleReturn, none),
		terminal("E2:+", model.RoleFeed, v12), terminal("E2:-", model.RoleReturn, none),
		model.Link{Device: "F1", From: "1", To: "2", Kind: model.LinkFuse, Value: model.Known(4)},
		model.Link{Device: "S1", From: "1", To: "2", Kind: model.LinkContact, State: model.StateOpen},
		wire("W1", "G1:+", "F1:1"), wire("W2", "F1:2", "S1:1"), wire("W3", "S1:2", "E1:+"), wire("W4", "E1:-", "G1:-"),
		wire("W5", "G1:+", "E2:+"), wire("W6", "E2:-", "G1:-"),
	} {
		edit.Changes = append(edit.Changes, model.Change{After: row})
	}
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	return m
}

func TestDuties(t *testing.T) {
	m := fused(t)
	duties := NewAnalysis(m).Duties()
	for row, want := range []struct {
		amps float64
		fuse bool
	}{{2, false}, {2, true}, {2, true}, {2, true}, {1, false}, {1, false}} {
		got := duties[row]
		if !got.Amps.Known || got.Amps.Value < want.amps*0.999999 || got.Amps.Value > want.amps*1.000001 {
			t.Errorf("W%d carries %v A, want %v: the switch is closed when the whole machine is on", row+1, got.Amps, want.amps)
		}
		if (len(got.Fuses) == 1) != want.fuse || len(got.Fuses) > 0 && m.Links[got.Fuses[0]].Device != "F1" {
			t.Errorf("W%d is protected by %v, want F1: %v", row+1, got.Fuses, want.fuse)
		}
		// 19.5 mohm a metre is the maximum of IEC 60228 for 1 mm2; copper of that area has 17 to 18.
		if drop := got.DropVolts.Or(0) / want.amps; drop < 0.016 || drop > 0.0195 {
			t.Errorf("W%d drops %v V at %v A", row+1, got.DropVolts, want.amps)
		}
	}
}

// Two supplies meet at a star: the return of the one knows nothing of the fuses
// of the other, and the wire that both loads share knows both.
func TestAReturnKnowsTheFusesOfItsOwnSupply(t *testing.T) {
	m := fused(t)
	edit := model.Edit{}
	add := func(rows ...model.Row) {
		for _, row := range rows {
			edit.Changes = append(edit.Changes, model.Change{After: row})
		}
	}
	at := func(device, mark string) model.TerminalRef { return model.TerminalRef{Device: device, Mark: mark} }
	for _, device := range []string{"G9", "F9", "X9"} {
		add(model.Device{Ref: device, Health: model.HealthUnknown})
	}
	add(model.Device{Ref: "E9", Health: model.HealthUnknown, LoadAmps: model.Known(1)})
	add(model.Terminal{Device: "G9", Mark: "+", Role: model.RoleRail, Volts: model.Known(5)}, model.Terminal{Device: "G9", Mark: "-", Role: model.RoleReturn},
		model.Terminal{Device: "F9", Mark: "1"}, model.Terminal{Device: "F9", Mark: "2"}, model.Link{Device: "F9", From: "1", To: "2", Kind: model.LinkFuse, Value: model.Known(1)},
		model.Terminal{Device: "E9", Mark: "+", Role: model.RoleFeed, Volts: model.Known(5)}, model.Terminal{Device: "E9", Mark: "-", Role: model.RoleReturn},
		model.Terminal{Device: "X9", Mark: "1"})
	wire := func(name string, from, to model.TerminalRef) model.Wire {
		return model.Wire{Name: name, From: from, To: to, Basis: model.BasisSeen}
	}
	add(wire("W91", at("G9", "+"), at("F9", "1")), wire("W92", at("F9", "2"), at("E9", "+")),
		wire("W93", at("E9", "-"), at("E1", "-")), wire("W94", at("G1", "-"), at("X9", "1")), wire("W95", at("X9", "1"), at("G9", "-")),
		model.Bond{From: at("G1", "-"), To: at("G9", "-"), Reason: "star"})
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	duties := NewAnalysis(m).Duties()
	for name, want := range map[string]string{"W4": "F1 F9", "W93": "F9", "W94": "F9", "W95": "F9"} {
		row, _ := m.WireIndex(name)
		got := ""
		for _, link := range duties[row].Fuses {
			got += " " + m.Links[link].Device
		}
		if got != " "+want {
			t.Errorf("%s is protected by%s, want %s", name, got, want)
		}
	}
}

func TestSources(t *testing.T) {
	m := fused(t)
	b := NewAnalysis(m)
	nets := b.AsDrawn.Nets()
	sources := b.Sources()
	for text, want := range map[string]Source{
		"G1:+": {Devices: []string{"G1"}}, "G1:-": {Devices: []string{"G1"}}, "E1:+": {Devices: []string{"G1"}, Through: true},
	} {
		at, _ := m.FindTerminal(text)
		index, _ := m.TerminalIndex(at)
		if got := sources[nets.Of[index]]; !slices.Equal(got.Devices, want.Devices) || got.Through != want.Through {
			t.Errorf("the net of %s has the source %+v, want %+v", text, got, want)
		}
	}
}

// The demo machine and a generated one: every wire that carries current on the
// feed side of a fuse names it, and nothing carries more than all loads draw.
func TestDutiesOfWholeMachines(t *testing.T) {
	content, err := tables.ReadFS(context.Background(), assets.Demo(assets.AsFound), assets.AsFound)
	if err != nil {
		t.Fatal(err)
	}
	demo, err := content.Machine()
	if err != nil {
		t.Fatal(err)
	}
	for name, m := range map[string]*model.Machine{"demo": demo, "generated": sample.Machine(2, 3000)} {
		most := 0.0
		for _, device := range m.Devices {
			most += device.LoadAmps.Or(0)
		}
		carrying, protected := 0, 0
		for row, duty := range NewAnalysis(m).Duties() {
			if duty.Amps.Known {
				carrying++
			}
			if duty.Amps.Or(0) > most*1.000001 {
				t.Errorf("%s: %s carries %v A, all loads together draw %v", name, m.Wires[row].Name, duty.Amps, most)
			}
			if len(duty.Fuses) > 0 {
				protected++
			}
			if duty.Amps.Known && m.Wires[row].Removed {
				t.Errorf("%s: the removed wire %s carries current", name, m.Wires[row].Name)
			}
		}
		if carrying < len(m.Wires)/4 || protected < len(m.Wires)/4 {
			t.Errorf("%s: of %d wires %d carry current and %d are protected", name, len(m.Wires), carrying, protected)
		}
	}
}
