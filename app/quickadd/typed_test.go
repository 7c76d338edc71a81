package quickadd_test

import (
	"strings"
	"testing"

	"bellout/app/quickadd"
	"bellout/faults"
	"bellout/model"
)

func TestEveryTemplateMakesADevice(t *testing.T) {
	for _, template := range quickadd.BuiltIn() {
		t.Run(template.Name, func(t *testing.T) {
			if template.Hint == "" {
				t.Fatal("there is no example of it")
			}
			m := model.NewMachine()
			edit, err := quickadd.Device(m, template.Hint)
			if err != nil {
				t.Fatalf("%s: %v", template.Hint, err)
			}
			if err := m.Apply(edit); err != nil {
				t.Fatalf("%s: %v", template.Hint, err)
			}
			if len(m.Terminals) == 0 {
				t.Error("the device has no terminal")
			}
			if known := m.Devices[0].Kind; known.Known() != known {
				t.Errorf("its kind %q is not one of the contract's", known)
			}
			for _, finding := range faults.Check(m).Findings {
				if finding.Rule == "short" || finding.Rule == "rail-cross" || finding.Rule == "mixed-ground" {
					t.Errorf("the device by itself is called wrong: %s", finding.Message)
				}
			}
		})
	}
}

func TestDeviceLine(t *testing.T) {
	m := model.NewMachine()
	take := func(line string) {
		t.Helper()
		edit, err := quickadd.Device(m, line)
		if err != nil {
			t.Fatalf("%s: %v", line, err)
		}
		if err := m.Apply(edit); err != nil {
			t.Fatalf("%s: %v", line, err)
		}
	}
	take(`G1 supply 24V 10A "24 V supply" in gate house`)
	take(`G2 supply 5V 12V`)
	take(`E9 lamp "spare" 12V in bridge`)
	if d, _ := m.Device("E9"); d.Title != "spare" || d.Zone != "bridge" {
		t.Errorf("E9 is %+v, want it to be called spare, in bridge", d)
	}
	take(`J7 plug 3`)
	take(`X20 busbar 4`)
	if d, _ := m.Device("G1"); d.Title != "24 V supply" || d.Zone != "gate house" || d.LimitAmps.String() != "10" || d.Kind != model.KindSupply {
		t.Errorf("G1 is %+v", d)
	}
	if got, want := strings.Join(m.Marks("G2"), " "), "+1 +2 -1 -2 L N PE"; got != want && !sameMarks(got, want) {
		t.Errorf("G2 has %s, want %s", got, want)
	}
	if terminal, _ := m.Terminal(model.TerminalRef{Device: "G2", Mark: "+2"}); terminal.Volts.String() != "12" || terminal.Role != model.RoleRail {
		t.Errorf("G2:+2 is %+v, want a rail of 12 V", terminal)
	}
	for line, ohms := range map[string]string{"R1 coil 24V 1Mohm": "1000000", "R2 coil 24V 4k7": "4700", "R3 coil 24V 0,47ohm": "0.47", "R4 coil 24V 18R": "18"} {
		take(line)
		ref, _, _ := strings.Cut(line, " ")
		for _, link := range m.Links {
			if link.Device == ref && link.Value.String() != ohms {
				t.Errorf("%s has %s ohm, want %s", line, link.Value, ohms)
			}
		}
	}
	links := map[string]int{}
	for _, link := range m.Links {
		links[link.Device]++
	}
	if links["J7"] != 3 || links["X20"] != 3 {
		t.Errorf("%d links in J7 and %d in X20, want 3 and 3", links["J7"], links["X20"])
	}
	for line, says := range map[string]string{
		"":                      "write REFERENCE TEMPLATE",
		"G1 supply 24V":         "G3 is free",
		"F1 fuze 2A":            `no template "fuze"`,
		"X3 block":              "how many?",
		"G9 supply":             "at how many volts?",
		`F1 fuse 2A "lamps`:     "a quote is open",
		"F1 fuse 2A 3zz":        `"3zz" is nothing that belongs here`,
		"F:1 fuse":              "F:1",
		"J9 plug 100000":        "nothing that belongs here",
		"G9 supply 1e999V":      "nothing that belongs here",
		"K9 relay from nowhere": "from nowhere",
		"K9 relay 24V 4.7mohm":  "milli or mega?",
		"G9 supply 1,200V":      "1.2 or 1200?",
		"G9 supply 24MV":        "milli or mega?",
	} {
		edit, err := quickadd.Device(m, line)
		if err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q gives %v and %d changes, want an error that says %q", line, err, len(edit.Changes), says)
		}
	}
}

func sameMarks(a, b string) bool {
	count := map[string]int{}
	for _, mark := range strings.Fields(a) {
		count[mark]++
	}
	for _, mark := range strings.Fields(b) {
		count[mark]--
	}
	for _, n := range count {
		if n != 0 {
			return false
		}
	}
	return true
}

func TestADeviceBecomesATemplateOfOnesOwn(t *testing.T) {
	m := model.NewMachine()
	edit, err := quickadd.Device(m, "K1 relay 24V 680ohm")
	if err != nil {
		t.Fatal(err)
	}
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	own, err := quickadd.FromDevice(m, "K1", "gate relay")
	if err != nil {
		t.Fatal(err)
	}
	if err := m.Apply(model.Edit{What: "own", Changes: []model.Change{{After: own}}}); err != nil {
		t.Fatal(err)
	}
	edit, err = quickadd.Device(m, `K2 gate relay "the second"`)
	if err != nil {
		t.Fatal(err)
	}
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	if d, _ := m.Device("K2"); d.Title != "the second" || d.Kind != model.KindRelay {
		t.Errorf("K2 is %+v", d)
	}
	var first, second []string
	for _, link := range m.Sorted().Links {
		text := strings.Join([]string{link.From, link.To, string(link.Kind), link.Value.String(), string(link.State)}, " ")
		if link.Device == "K1" {
			first = append(first, text)
		} else {
			second = append(second, text)
		}
	}
	if strings.Join(first, ";") != strings.Join(second, ";") {
		t.Errorf("links %v, of the template's device %v", second, first)
	}
}

func TestWireLine(t *testing.T) {
	m := model.NewMachine()
	for _, line := range []string{"G1 supply 24V", "F1 fuse 2A"} {
		edit, err := quickadd.Device(m, line)
		if err != nil {
			t.Fatal(err)
		}
		if err := m.Apply(edit); err != nil {
			t.Fatal(err)
		}
	}
	for line, want := range map[string]model.Wire{
		"G1:+ F1:1":                             {Name: "W1", Basis: model.BasisSeen},
		"G1:+ F1:1 RD 0.75mm2 1.2m W7 cable C3": {Name: "W7", Basis: model.BasisSeen, Colour: "RD", LengthMetres: model.Known(1.2), Cable: "C3"},
		"G1:+ F1:1 0,5m":                        {Name: "W1", Basis: model.BasisSeen, LengthMetres: model.Known(0.5)},
		"gnye F1:2 AWG18 planned G1:PE 30cm":    {Name: "W1", Basis: model.BasisPlanned, Colour: "GNYE", LengthMetres: model.Known(0.3)},
	} {
		edit, name, err := quickadd.Wire(m, line)
		if err != nil {
			t.Errorf("%s: %v", line, err)
			continue
		}
		got := edit.Changes[0].After.(model.Wire)
		if name != want.Name || got.Name != want.Name || got.Basis != want.Basis || got.Colour != want.Colour || got.Cable != want.Cable || got.LengthMetres.String() != want.LengthMetres.String() {
			t.Errorf("%s gives %+v, want %+v", line, got, want)
		}
		if err := m.Clone().Apply(edit); err != nil {
			t.Errorf("%s: %v", line, err)
		}
	}
	for line, says := range map[string]string{
		"":                       "two ends",
		"G1:+":                   "two ends",
		"G1:+ F1:1 F1:2":         "two ends",
		"G1:+ F1:9":              "F1",
		"G1:+ G1:+":              "itself",
		"G1:+ F1:1 0.75zz thing": "nothing that belongs here",
		"G1:+ F1:1 AWG":          "",
	} {
		if edit, _, err := quickadd.Wire(m, line); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q gives %v and %+v, want an error that says %q", line, err, edit, says)
		}
	}
}

func FuzzLines(f *testing.F) {
	for _, template := range quickadd.BuiltIn() {
		f.Add(template.Hint)
	}
	f.Add("G1:+ F1:1 RD 0.75mm2 1.2m")
	f.Fuzz(func(t *testing.T, line string) {
		m := model.NewMachine()
		if edit, err := quickadd.Device(m, line); err == nil {
			if err := m.Apply(edit); err != nil {
				t.Fatalf("%q makes an edit that an empty machine does not take: %v", line, err)
			}
		}
		_, _, _ = quickadd.Wire(m, line)
	})
}
