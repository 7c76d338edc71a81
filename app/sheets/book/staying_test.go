package book

import (
	"strings"
	"testing"

	"bellout/model"
)

// sheetText is all that one sheet of a machine says, page after page.
func sheetText(t *testing.T, m *model.Machine, sheet string) string {
	t.Helper()
	job := Job{Title: "x", Machine: m, Now: noon}
	check(t, job)
	sheets, err := Make(t.Context(), job, nil, sheet)
	if err != nil {
		t.Fatal(err)
	}
	bound := Bind(sheets...)
	var words []string
	for page := 1; page <= bound.Pages(); page++ {
		width, height := bound.Size(page)
		r := &recorder{page: box(0, 0, width, height)}
		bound.Draw(page, r)
		for _, text := range r.texts {
			words = append(words, text.Text)
		}
	}
	return strings.Join(words, " ")
}

// stayingMachine has a battery behind a fuse, a computer with power of its own, two
// mains plugs, and a plug of the wiring that carries earth.
func stayingMachine(t *testing.T) *model.Machine {
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
		Devices: []model.Device{
			device("BT1", model.KindBattery), device("F5", model.KindFuse), device("H1", model.KindLamp), device("PC1", model.KindComputer),
			device("X1", model.KindMainsInlet), device("X9", model.KindMainsInlet), device("G1", model.KindSupply), device("J1", model.KindConnector), device("J2", model.KindConnector),
		},
		Terminals: []model.Terminal{
			term("BT1", "+", model.RoleRail, 12), term("BT1", "-", model.RoleReturn, 0), term("F5", "1", model.RolePass, 0), term("F5", "2", model.RolePass, 0),
			term("H1", "+", model.RoleFeed, 12), term("H1", "-", model.RoleReturn, 0), term("H1", "PE", model.RoleEarth, 0),
			term("PC1", "VBUS", model.RoleRail, 5), term("PC1", "GND", model.RoleReturn, 0),
			term("X1", "L", model.RoleLine, 0), term("X1", "PE", model.RoleEarth, 0), term("X9", "L", model.RoleLine, 0),
			term("G1", "L", model.RoleLine, 0), term("G1", "+", model.RoleRail, 24), term("G1", "-", model.RoleReturn, 0),
			term("J1", "a", model.RolePass, 0), term("J1", "b", model.RolePass, 0), term("J2", "a", model.RolePass, 0), term("J2", "b", model.RolePass, 0),
		},
		Links: []model.Link{
			{Device: "F5", From: "1", To: "2", Kind: model.LinkFuse, Value: model.Known(10)}, {Device: "H1", From: "+", To: "-", Kind: model.LinkResistance, Value: model.Known(4)},
			{Device: "J1", From: "a", To: "b", Kind: model.LinkSolid}, {Device: "J2", From: "a", To: "b", Kind: model.LinkSolid},
		},
		Wires: []model.Wire{
			wire("W1", "BT1:+", "F5:1"), wire("W2", "F5:2", "J2:a"), wire("W3", "J2:b", "H1:+"), wire("W4", "H1:-", "BT1:-"),
			wire("W5", "X1:L", "G1:L"), wire("W6", "X1:PE", "J1:a"), wire("W7", "J1:b", "H1:PE"),
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// Whoever follows a sheet is told what is live with the plug out, asks no ohms at a
// battery's own poles, and leaves plugs mated that carry earth.
func TestSheetsNameWhatStaysLive(t *testing.T) {
	m := stayingMachine(t)
	for _, sheet := range []string{"contents", "doorcard", "bringup", "testrecord", "bonding"} {
		text := sheetText(t, m, sheet)
		for _, want := range []string{"F5 out, battery lead off", "its lead unplugged", "PC1", "X9"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s does not say %q: %s", sheet, want, text)
			}
		}
	}
	plan := sheetText(t, m, "bringup")
	cold := plan[strings.Index(plan, "Cold: ohms"):strings.Index(plan, "Open everything")]
	if strings.Contains(cold, "BT1:+") || strings.Contains(cold, "BT1:-") || !strings.Contains(cold, "F5:1 H1:-") {
		t.Errorf("ohms at a battery's poles: %s", cold)
	}
	if !strings.Contains(plan, "Unplug: J2.") || !strings.Contains(plan, "through them: J1.") {
		t.Errorf("which plugs are pulled: %s", plan)
	}
}
