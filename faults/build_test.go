package faults

import (
	"strings"
	"testing"

	"bellout/model"
)

// build makes a machine from a few lines, each a row:
//
//	device G1 supply limit=5 note=.. : + rail 12, - return, L line, PE earth
//	device A1 controller load=0.5 : VCC feed 5, GND return, X signal @iso, V2 feed 12 10..14
//	link F1 1 2 fuse 2 [open|closed]
//	wire W1 G1:+ F1:1 [colour=RD] [gauge=0.75mm2|AWG18] [length=2] [basis=seen] [removed]
//	bond G1:- G2:-
//	set drop_limit_percent 5
//
// Empty lines and those that begin with # are left out.
func build(t testing.TB, texts ...string) *model.Machine {
	t.Helper()
	m := model.NewMachine()
	change(t, m, texts...)
	return m
}

// change adds rows to a machine; "drop W1", "drop F1 1 2 fuse" and
// "drop G1:- G2:-" take rows away, and a row that is there already is replaced.
func change(t testing.TB, m *model.Machine, texts ...string) *model.Machine {
	t.Helper()
	for _, line := range devicesFirst(strings.Join(texts, "\n")) {
		var edit model.Edit
		if gone, drop := strings.CutPrefix(line, "drop "); drop {
			row := rowToDrop(m, strings.Fields(gone))
			if row == nil {
				t.Fatalf("%q: there is no such row", line)
			}
			edit.Changes = append(edit.Changes, model.Change{Before: row})
		} else {
			for _, row := range rowsOf(t, line) {
				edit.Changes = append(edit.Changes, model.Change{Before: m.Row(row.Table(), row.ID()), After: row})
			}
		}
		if err := m.Apply(edit); err != nil {
			t.Fatalf("%q: %v", line, err)
		}
	}
	return m
}

// devicesFirst returns the lines that say something, those of devices before
// what joins them.
func devicesFirst(text string) []string {
	var devices, rest []string
	for _, line := range strings.Split(text, "\n") {
		switch line = strings.TrimSpace(line); {
		case line == "" || strings.HasPrefix(line, "#"):
		case strings.HasPrefix(line, "device "):
			devices = append(devices, line)
		default:
			rest = append(rest, line)
		}
	}
	return append(devices, rest...)
}

func rowToDrop(m *model.Machine, fields []string) model.Row {
	switch {
	case len(fields) == 1:
		return m.Row(model.TableWire, fields[0])
	case len(fields) == 2:
		bond := model.Bond{From: ref(fields[0]), To: ref(fields[1])}
		return m.Row(model.TableBond, bond.ID())
	default:
		link := model.Link{Device: fields[0], From: fields[1], To: fields[2], Kind: model.LinkKind(fields[3])}
		return m.Row(model.TableLink, link.ID())
	}
}

func rowsOf(t testing.TB, line string) []model.Row {
	t.Helper()
	word, rest, _ := strings.Cut(line, " ")
	fields := strings.Fields(rest)
	switch word {
	case "device":
		return deviceRows(t, rest)
	case "link":
		link := model.Link{Device: fields[0], From: fields[1], To: fields[2], Kind: model.LinkKind(fields[3])}
		for _, field := range fields[4:] {
			if field == "open" || field == "closed" {
				link.State = model.LinkState(field)
			} else {
				link.Value = number(t, field)
			}
		}
		return []model.Row{link}
	case "wire":
		return []model.Row{wireRow(t, fields)}
	case "bond":
		return []model.Row{model.Bond{From: ref(fields[0]), To: ref(fields[1]), Reason: "meant"}}
	case "set":
		return []model.Row{model.Setting{Key: fields[0], Value: fields[1]}}
	}
	t.Fatalf("%q: unknown word", line)
	return nil
}

func deviceRows(t testing.TB, text string) []model.Row {
	t.Helper()
	head, terminals, _ := strings.Cut(text, " :")
	fields := strings.Fields(head)
	device := model.Device{Ref: fields[0], Kind: model.DeviceKind(fields[1]), Health: model.HealthUnknown}
	for _, field := range fields[2:] {
		key, value, _ := strings.Cut(field, "=")
		switch key {
		case "load":
			device.LoadAmps = number(t, value)
		case "limit":
			device.LimitAmps = number(t, value)
		case "note":
			device.Note = value
		default:
			t.Fatalf("%q: unknown word %q", text, field)
		}
	}
	rows := []model.Row{device}
	for _, part := range strings.Split(terminals, ",") {
		fields := strings.Fields(part)
		if len(fields) == 0 {
			continue
		}
		terminal := model.Terminal{Device: device.Ref, Mark: fields[0]}
		for at, field := range fields[1:] {
			low, high, limits := strings.Cut(field, "..")
			switch {
			case at == 0:
				terminal.Role = model.Role(field)
			case strings.HasPrefix(field, "@"):
				terminal.Section = field[1:]
			case limits:
				terminal.MinVolts, terminal.MaxVolts = number(t, low), number(t, high)
			default:
				terminal.Volts = number(t, field)
			}
		}
		rows = append(rows, terminal)
	}
	return rows
}

func wireRow(t testing.TB, fields []string) model.Wire {
	t.Helper()
	wire := model.Wire{Name: fields[0], From: ref(fields[1]), To: ref(fields[2]), Basis: model.BasisPlanned}
	for _, field := range fields[3:] {
		key, value, _ := strings.Cut(field, "=")
		switch key {
		case "colour":
			wire.Colour = model.Colour(value)
		case "gauge":
			if area, metric := strings.CutSuffix(value, "mm2"); metric {
				value = area + " mm2"
			} else if awg, isAWG := strings.CutPrefix(value, "AWG"); isAWG {
				value = "AWG " + awg
			}
			gauge, err := model.ParseGauge(value)
			if err != nil {
				t.Fatal(err)
			}
			wire.Gauge = gauge
		case "length":
			wire.LengthMetres = number(t, value)
		case "cable":
			wire.Cable = value
		case "basis":
			wire.Basis = model.Basis(value)
		case "removed":
			wire.Removed = true
		default:
			t.Fatalf("wire %s: unknown word %q", wire.Name, field)
		}
	}
	return wire
}

func ref(text string) model.TerminalRef {
	ref, err := model.ParseTerminalRef(text)
	if err != nil {
		panic(err)
	}
	return ref
}

func number(t testing.TB, text string) model.Optional {
	t.Helper()
	value, err := model.ParseOptional(text)
	if err != nil {
		t.Fatal(err)
	}
	return value
}
