package sheets

import (
	"encoding/csv"
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"

	"bellout/model"
)

// crossed is a machine with two rails that a wire joins, a removed wire and a
// wire of unknown size.
func crossed(t *testing.T) *model.Machine {
	t.Helper()
	gauge, err := model.ParseGauge("AWG 18")
	if err != nil {
		t.Fatal(err)
	}
	ref := func(device, mark string) model.TerminalRef { return model.TerminalRef{Device: device, Mark: mark} }
	m := model.NewMachine()
	rows := []model.Row{
		model.Device{Ref: "G1", Health: model.HealthUnknown}, model.Device{Ref: "G2", Health: model.HealthUnknown},
		model.Terminal{Device: "G1", Mark: "+", Role: model.RoleRail, Volts: model.Known(12)},
		model.Terminal{Device: "G1", Mark: "-", Role: model.RoleReturn},
		model.Terminal{Device: "G2", Mark: "+", Role: model.RoleRail, Volts: model.Known(36)},
		model.Terminal{Device: "G2", Mark: "-", Role: model.RoleReturn},
		model.Wire{Name: "W10", From: ref("G1", "+"), To: ref("G2", "+"), Basis: model.BasisPlanned},
		model.Wire{Name: "W2", From: ref("G1", "-"), To: ref("G2", "-"), Basis: model.BasisSeen, Gauge: gauge, LengthMetres: model.Known(2), Cable: "loom, back"},
		model.Wire{Name: "W3", From: ref("G1", "-"), To: ref("G2", "+"), Basis: model.BasisSeen, Removed: true},
	}
	edit := model.Edit{}
	for _, row := range rows {
		edit.Changes = append(edit.Changes, model.Change{After: row})
	}
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	return m
}

func job(t *testing.T) Job {
	t.Helper()
	return Job{
		Title: "two supplies", Printed: time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC), Machine: crossed(t),
		Proven: func(wire string) bool { return wire == "W2" || wire == "W3" },
	}
}

func TestWireRows(t *testing.T) {
	rows := WireRows(job(t).Machine, job(t).Proven)
	if got := rows[0].Wire + rows[1].Wire + rows[2].Wire; got != "W2W3W10" {
		t.Errorf("the wires stand as %s", got)
	}
	// 20.9 ohm/km for AWG 18 (ASTM B258 geometry, IACS; awg.csv): 2 m are 0.0419 ohm.
	if got := rows[0].ohmText(); got != "0.0419" {
		t.Errorf("2 m of AWG 18 have %s ohm, want 0.0419", got)
	}
	if !rows[0].Proven || rows[2].Proven {
		t.Error("W2 is proven and W10 is not, the rows say otherwise")
	}
	if rows[1].Net != "" || rows[1].Proven {
		t.Errorf("a removed wire is in no net and not proven: %+v", rows[1])
	}
	if rows[2].Ohms.Known {
		t.Error("a wire without gauge has ohms")
	}
}

func TestRailsOfDifferentVoltsHaveNone(t *testing.T) {
	for _, net := range NetRows(job(t).Machine) {
		switch net.Kind {
		case "rail":
			if net.Volts.Known {
				t.Errorf("12 V and 36 V meet, and yet the net has %s V", net.Volts)
			}
		case "return":
			if net.Volts != model.Known(0) {
				t.Errorf("a return has %q V", net.Volts)
			}
		}
	}
}

func TestEverySheetInEveryForm(t *testing.T) {
	for _, sheet := range Sheets {
		for _, form := range Forms {
			t.Run(sheet.Name+"."+string(form), func(t *testing.T) {
				var out strings.Builder
				if err := sheet.Write(&out, form, job(t)); err != nil {
					t.Fatal(err)
				}
				text := out.String()
				for _, word := range []string{"W2", "G1:-"} {
					if !strings.Contains(text, word) {
						t.Errorf("no %s in\n%s", word, text)
					}
				}
				switch form {
				case CSV:
					if _, err := csv.NewReader(strings.NewReader(text)).ReadAll(); err != nil {
						t.Error(err)
					}
				case JSON:
					if !json.Valid([]byte(text)) || strings.Contains(text, `"wires": null`) || strings.Contains(text, `"terminals": null`) {
						t.Errorf("no good JSON:\n%s", text)
					}
				case Text:
					for _, line := range strings.Split(text, "\n") {
						if len(line) > 100 {
							t.Errorf("%d characters in a line: %s", len(line), line)
						}
					}
				}
				if err := sheet.Write(full{}, form, job(t)); err == nil {
					t.Error("the disk was full, the sheet did not say so")
				}
			})
		}
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no room") }

func TestFormOf(t *testing.T) {
	for path, want := range map[string]Form{"a.csv": CSV, "b/c.JSON": JSON, "d.e.txt": Text} {
		if got, err := FormOf(path); got != want || err != nil {
			t.Errorf("%s: got %q, %v", path, got, err)
		}
	}
	for _, path := range []string{"", "nets", "nets.", ".hidden/nets", "nets.pdf"} {
		if _, err := FormOf(path); err == nil || !strings.Contains(err.Error(), ".csv, .json or .txt") {
			t.Errorf("%q: got %v, want an error that names the endings", path, err)
		}
	}
}
