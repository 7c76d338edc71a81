package causes

import (
	"strings"
	"testing"
	"time"

	"bellout/faults"
	"bellout/model"
)

// rig builds a machine from short lines, for these tests:
//
//	device REF KIND [health=failed at=2026-01-02] [load=A] [limit=A] [zone=Z] [note=words_with_underscores]
//	terminal REF:MARK ROLE [VOLTS]
//	link REF:FROM-TO KIND [VALUE]     (marks without a dash)
//	wire NAME FROM TO [GAUGE metres]
//	bond FROM TO
//	reading RED BLACK MODE VALUE [condition with_underscores for spaces]
func rig(t *testing.T, text string) *model.Machine {
	t.Helper()
	m := model.NewMachine()
	var changes, readings []model.Change
	number := int64(0)
	for _, line := range strings.Split(text, "\n") {
		fields := strings.Fields(line)
		if len(fields) == 0 {
			continue
		}
		var row model.Row
		switch fields[0] {
		case "device":
			row = rigDevice(t, fields)
		case "terminal":
			terminal := model.Terminal{Device: ref(t, fields[1]).Device, Mark: ref(t, fields[1]).Mark, Role: model.Role(fields[2])}
			if len(fields) > 3 {
				terminal.Volts = number64(t, fields[3])
			}
			row = terminal
		case "link":
			device, marks, _ := strings.Cut(fields[1], ":")
			from, to, _ := strings.Cut(marks, "-")
			link := model.Link{Device: device, From: from, To: to, Kind: model.LinkKind(fields[2])}
			if len(fields) > 3 {
				link.Value = number64(t, fields[3])
			}
			row = link
		case "wire":
			row = model.Wire{Name: fields[1], From: ref(t, fields[2]), To: ref(t, fields[3]), Basis: model.BasisSeen}
		case "bond":
			row = model.Bond{From: ref(t, fields[1]), To: ref(t, fields[2])}
		case "reading":
			number++
			value, err := model.ParseValue(fields[4])
			if err != nil {
				t.Fatal(err)
			}
			reading := model.Reading{Number: number, Red: ref(t, fields[1]), Black: ref(t, fields[2]), Mode: model.Mode(fields[3]), Value: value}
			if len(fields) > 5 {
				if err := m.Apply(model.Edit{Changes: changes}); err != nil {
					t.Fatal(err)
				}
				changes = nil
				if reading.Conditions, err = m.ParseConditions(strings.ReplaceAll(fields[5], "_", " ")); err != nil {
					t.Fatal(err)
				}
			}
			readings = append(readings, model.Change{After: reading})
			continue
		default:
			t.Fatalf("unknown line %q", line)
		}
		changes = append(changes, model.Change{After: row})
	}
	if err := m.Apply(model.Edit{Changes: append(changes, readings...)}); err != nil {
		t.Fatal(err)
	}
	return m
}

func rigDevice(t *testing.T, fields []string) model.Device {
	t.Helper()
	device := model.Device{Ref: fields[1], Kind: model.DeviceKind(fields[2]), Health: model.HealthUnknown}
	for _, field := range fields[3:] {
		key, value, _ := strings.Cut(field, "=")
		switch key {
		case "health":
			device.Health = model.Health(value)
		case "at":
			at, err := time.Parse(time.DateOnly, value)
			if err != nil {
				t.Fatal(err)
			}
			device.FailedAt = at
		case "load":
			device.LoadAmps = number64(t, value)
		case "limit":
			device.LimitAmps = number64(t, value)
		case "zone":
			device.Zone = value
		case "note":
			device.Note = strings.ReplaceAll(value, "_", " ")
		default:
			t.Fatalf("unknown word %q", field)
		}
	}
	return device
}

func ref(t *testing.T, text string) model.TerminalRef {
	t.Helper()
	r, err := model.ParseTerminalRef(text)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func number64(t *testing.T, text string) model.Optional {
	t.Helper()
	number, err := model.ParseOptional(text)
	if err != nil {
		t.Fatal(err)
	}
	return number
}

// rank runs check and ranks, as the command does.
func rank(t *testing.T, m *model.Machine) *Ranking {
	t.Helper()
	report := faults.Check(m)
	proven := map[string]bool{}
	for _, wire := range m.Wires {
		proven[wire.Name] = true // these tests are about sound wiring
	}
	known := KnownFrom(faults.Diagnose(m))
	known.Findings, known.ProvenWires = report.Findings, proven
	return Rank(faults.NewAnalysis(m), known, DefaultWeights())
}
