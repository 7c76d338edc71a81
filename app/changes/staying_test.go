package changes

import (
	"strings"
	"testing"

	"bellout/faults"
	"bellout/model"
)

// withBattery is a battery behind a fuse that feeds a lamp, and a supply with a lamp
// on the same 0 V.
func withBattery(t *testing.T) *faults.Diagnosis {
	t.Helper()
	term := func(device, mark string, role model.Role, volts float64) model.Terminal {
		row := model.Terminal{Device: device, Mark: mark, Role: role}
		if volts != 0 {
			row.Volts = model.Known(volts)
		}
		return row
	}
	wire := func(name, from, to string) model.Wire {
		a, _ := model.ParseTerminalRef(from)
		b, _ := model.ParseTerminalRef(to)
		return model.Wire{Name: name, From: a, To: b, Basis: model.BasisPlanned}
	}
	device := func(ref string, kind model.DeviceKind) model.Device {
		return model.Device{Ref: ref, Kind: kind, Health: model.HealthUnknown}
	}
	m, err := model.NewMachineFromRows(model.Machine{
		Devices: []model.Device{device("BT1", model.KindBattery), device("F5", model.KindFuse), device("G1", model.KindSupply), device("H1", model.KindLamp), device("H2", model.KindLamp)},
		Terminals: []model.Terminal{
			term("BT1", "+", model.RoleRail, 12), term("BT1", "-", model.RoleReturn, 0), term("F5", "1", model.RolePass, 0), term("F5", "2", model.RolePass, 0),
			term("G1", "+", model.RoleRail, 24), term("G1", "-", model.RoleReturn, 0),
			term("H1", "+", model.RoleFeed, 12), term("H1", "-", model.RoleReturn, 0), term("H2", "+", model.RoleFeed, 24), term("H2", "-", model.RoleReturn, 0),
		},
		Links: []model.Link{
			{Device: "F5", From: "1", To: "2", Kind: model.LinkFuse, Value: model.Known(10)},
			{Device: "H1", From: "+", To: "-", Kind: model.LinkResistance, Value: model.Known(4)}, {Device: "H2", From: "+", To: "-", Kind: model.LinkResistance, Value: model.Known(9)},
		},
		Wires: []model.Wire{
			wire("W1", "BT1:+", "F5:1"), wire("W2", "F5:2", "H1:+"), wire("W3", "H1:-", "BT1:-"),
			wire("W4", "G1:+", "H2:+"), wire("W5", "H2:-", "G1:-"), wire("W6", "G1:-", "BT1:-"),
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	return faults.Diagnose(m)
}

// The sheet of a battery asks no ohms across it, nor against it while it is in; its
// volts are read alone. The sheets of the others take it out before any ohms.
func TestNoSheetAsksOhmsAgainstABattery(t *testing.T) {
	known := withBattery(t)
	for _, ref := range []string{"BT1", "F5", "H1", "H2", "G1"} {
		r, err := Replace(known, ref)
		if err != nil {
			t.Fatal(err)
		}
		if cautions := strings.Join(r.Cautions, " "); !strings.Contains(cautions, "Live with the plug out: battery BT1 (F5 out, battery lead off)") {
			t.Errorf("%s: the cautions do not name the battery: %s", ref, cautions)
		}
		volts, ohms := 0, 0
		for _, s := range r.Steps {
			if s.Probe == nil {
				continue
			}
			if s.Probe.Mode.Volts() {
				volts++
				continue
			}
			ohms++
			conditions := s.Probe.Conditions.String()
			lead, fuse := strings.Contains(conditions, "unplugged BT1"), strings.Contains(conditions, "open F5:1-2") || ref == "F5" && strings.Contains(conditions, "unplugged F5")
			atBattery := func(t model.TerminalRef) bool { return t.String() == "BT1:+" || t.String() == "F5:1" }
			if !lead && (!fuse || atBattery(s.Probe.Red) || atBattery(s.Probe.Black)) {
				t.Errorf("%s: %s to %s in ohms, the battery in (%s)", ref, s.Probe.Red, s.Probe.Black, conditions)
			}
			if s.Probe.Red.Device == "BT1" && s.Probe.Black.Device == "BT1" {
				t.Errorf("%s: ohms across the battery", ref)
			}
			if !strings.Contains(s.Caution, "attery BT1 stays live with the plug out") {
				t.Errorf("%s: %s to %s does not name the battery: %s", ref, s.Probe.Red, s.Probe.Black, s.Caution)
			}
		}
		if ref == "BT1" && volts == 0 || ref != "BT1" && ohms == 0 {
			t.Errorf("%s: %d steps in volts, %d in ohms", ref, volts, ohms)
		}
	}
}
