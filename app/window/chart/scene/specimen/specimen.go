// Package specimen is a machine as small as a machine can be in which everything
// that a chart tells apart occurs at least once: for pictures that tests compare.
package specimen

import (
	"bellout/model"
)

// Blamed is the wire that findings blame in pictures of the machine; Proven are
// those that readings prove.
const Blamed = "W9"

// Proven are the wires that readings prove.
var Proven = []string{"W1", "W2", "W4", "W5", "W7", "W8", "W12"}

// Edit writes the machine into an empty one.
func Edit() model.Edit {
	edit := model.Edit{What: "the specimen"}
	device := func(ref string, kind model.DeviceKind, title string, health model.Health, terminals ...model.Terminal) {
		edit.Changes = append(edit.Changes, model.Change{After: model.Device{Ref: ref, Kind: kind, Title: title, Health: health}})
		for _, t := range terminals {
			t.Device = ref
			edit.Changes = append(edit.Changes, model.Change{After: t})
		}
	}
	link := func(device, from, to string, kind model.LinkKind, state model.LinkState, value model.Optional) {
		edit.Changes = append(edit.Changes, model.Change{After: model.Link{Device: device, From: from, To: to, Kind: kind, State: state, Value: value}})
	}
	t := func(mark string, role model.Role) model.Terminal { return model.Terminal{Mark: mark, Role: role} }
	volts := func(mark string, role model.Role, v float64) model.Terminal {
		return model.Terminal{Mark: mark, Role: role, Volts: model.Known(v)}
	}
	device("G1", model.KindSupply, "24 V supply", model.HealthOK,
		t("L", model.RoleLine), t("N", model.RoleNeutral), t("PE", model.RoleEarth), volts("+", model.RoleRail, 24), t("-", model.RoleReturn))
	device("X0", model.KindMainsInlet, "inlet", model.HealthOK, t("L", model.RoleLine), t("N", model.RoleNeutral), t("PE", model.RoleEarth))
	device("F1", model.KindFuse, "valves", model.HealthOK, t("1", model.RolePass), t("2", model.RolePass))
	device("S1", model.KindSwitch, "pump", model.HealthOK, t("1", model.RolePass), t("2", model.RolePass))
	device("X1", model.KindTerminalBlock, "0 V", model.HealthOK, t("1", model.RolePass), t("2", model.RolePass), t("3", model.RolePass), t("4", model.RolePass))
	device("J1", model.KindConnector, "plug", model.HealthOK, t("A1", model.RolePass), t("A2", model.RolePass), t("B1", model.RolePass), t("B2", model.RolePass))
	device("Y1", model.KindSolenoid, "upper gate", model.HealthOK, volts("+", model.RoleFeed, 24), t("-", model.RoleReturn))
	device("M1", model.KindMotor, "pump", model.HealthFailed, volts("+", model.RoleFeed, 24), t("-", model.RoleReturn))
	device("E1", model.KindLamp, "lantern", model.HealthUnknown, volts("+", model.RoleFeed, 24), t("-", model.RoleReturn))
	link("F1", "1", "2", model.LinkFuse, model.StateUnknown, model.Known(4))
	link("S1", "1", "2", model.LinkContact, model.StateOpen, model.Optional{})
	link("J1", "A1", "B1", model.LinkSolid, model.StateUnknown, model.Optional{})
	link("J1", "A2", "B2", model.LinkSolid, model.StateUnknown, model.Optional{})
	for _, mark := range []string{"2", "3", "4"} {
		link("X1", "1", mark, model.LinkSolid, model.StateUnknown, model.Optional{})
	}
	for _, w := range []struct {
		name, from, to string
		colour         model.Colour
	}{
		{"W1", "X0:L", "G1:L", "BN"}, {"W2", "X0:N", "G1:N", "BU"}, {"W3", "X0:PE", "G1:PE", "GNYE"},
		{"W4", "G1:+", "F1:1", "RD"}, {"W5", "G1:-", "X1:1", "BK"}, {"W6", "G1:+", "S1:1", "RD"},
		{"W7", "F1:2", "J1:A1", "OG"}, {"W8", "X1:2", "J1:A2", "BK"}, {"W9", "S1:2", "M1:+", "VT"},
		{"W10", "J1:B1", "Y1:+", "WH"}, {"W11", "J1:B2", "Y1:-", ""}, {"W12", "X1:3", "M1:-", "BK"},
		{"W13", "S1:2", "E1:+", "PK"}, {"W14", "X1:4", "E1:-", "WH"},
	} {
		from, _ := model.ParseTerminalRef(w.from)
		to, _ := model.ParseTerminalRef(w.to)
		edit.Changes = append(edit.Changes, model.Change{After: model.Wire{Name: w.name, From: from, To: to, Colour: w.colour, Basis: model.BasisPlanned}})
	}
	return edit
}
