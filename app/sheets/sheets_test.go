package sheets

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"bellout/model"
	"bellout/model/tables"
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
	return Job{Title: "two supplies", Printed: time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC), Machine: crossed(t)}
}

func TestWireRows(t *testing.T) {
	j := job(t)
	reading := model.Reading{Number: 1, Red: model.TerminalRef{Device: "G1", Mark: "-"}, Black: model.TerminalRef{Device: "G2", Mark: "-"},
		Mode: model.ModeOhms, Value: model.Value{Kind: model.ShowsNumber, Number: 0.3}, At: j.Printed}
	if err := j.Machine.Apply(model.Edit{Changes: []model.Change{{After: reading}}}); err != nil {
		t.Fatal(err)
	}
	rows := WireRows(j)
	if got := rows[0].Name + rows[1].Name + rows[2].Name; got != "W2W3W10" {
		t.Errorf("the wires stand as %s", got)
	}
	// 20.9 ohm/km for AWG 18 (ASTM B258 geometry, IACS; awg.csv): 2 m are 0.0419 ohm.
	if got := model.Figures(rows[0].Ohms.Value); got != "0.0419" {
		t.Errorf("2 m of AWG 18 have %s ohm, want 0.0419", got)
	}
	if rows[0].Status != StatusProven || rows[1].Status != StatusRemoved || rows[2].Status != StatusPlanned {
		t.Errorf("the wires are %s, %s and %s", rows[0].Status, rows[1].Status, rows[2].Status)
	}
	// 0.3 ohm on the display, 0.2 ohm of leads
	if got := model.Figures(rows[0].MeasuredOhms.Value); got != "0.1" || !rows[0].MeasuredAt.Equal(j.Printed) {
		t.Errorf("W2 was measured at %s ohm on %s", got, rows[0].MeasuredAt)
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
		for _, form := range sheet.Forms {
			t.Run(sheet.Name+"."+string(form), func(t *testing.T) {
				var out bytes.Buffer
				if err := sheet.Write(t.Context(), &out, form, job(t)); err != nil {
					t.Fatal(err)
				}
				if !slices.Contains([]string{"fuses", "stayslive", "cables", "spares", "colours", "history"}, sheet.Name) { // see papers_test.go
					looksRight(t, sheet.Name, form, out.Bytes())
				}
				if err := sheet.Write(t.Context(), full{}, form, job(t)); err == nil {
					t.Error("the disk was full, the sheet did not say so")
				}
				stopped, stop := context.WithCancel(t.Context())
				stop()
				if err := sheet.Write(stopped, io.Discard, form, job(t)); !errors.Is(err, context.Canceled) {
					t.Errorf("it was stopped, and says %v", err)
				}
			})
		}
	}
}

func looksRight(t *testing.T, sheet string, form Form, text []byte) {
	t.Helper()
	if form != XLSX {
		for _, word := range []string{"W2", "G1:-"} {
			if !bytes.Contains(text, []byte(word)) {
				t.Errorf("no %s in\n%s", word, text)
			}
		}
	}
	switch form {
	case CSV:
		if _, err := csv.NewReader(bytes.NewReader(text)).ReadAll(); err != nil {
			t.Error(err)
		}
	case JSON:
		if !json.Valid(text) || bytes.Contains(text, []byte(`"wires":null`)) || bytes.Contains(text, []byte(`"terminals":null`)) {
			t.Errorf("no good JSON:\n%s", text)
		}
	case Txt:
		for line := range strings.SplitSeq(string(text), "\n") {
			if utf8.RuneCountInString(line) > 80 {
				t.Errorf("%d characters in a line: %s", utf8.RuneCountInString(line), line)
			}
		}
	case XLSX:
		if _, err := excelize.OpenReader(bytes.NewReader(text)); err != nil {
			t.Error(err)
		}
	}
}

// Progress goes up to the whole and no further.
func TestProgressIsTold(t *testing.T) {
	for _, sheet := range Sheets {
		told, last := 0, [2]int{}
		j := job(t)
		j.Progress = func(_ string, done, total int) {
			told, last = told+1, [2]int{done, total}
			if done > total {
				t.Errorf("%s: %d of %d", sheet.Name, done, total)
			}
		}
		if err := sheet.Write(t.Context(), io.Discard, sheet.Forms[0], j); err != nil {
			t.Fatal(err)
		}
		if told == 0 || sheet.Name != "graphml" && last[0] != last[1] {
			t.Errorf("%s told %d times of its progress, the last was %v", sheet.Name, told, last)
		}
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no room") }

func TestFormOf(t *testing.T) {
	netlist := Sheets[0]
	for path, want := range map[string]Form{"a.csv": CSV, "b/c.JSON": JSON, "d.e.txt": Txt, "nets.xlsx": XLSX} {
		if got, err := netlist.FormOf(path); got != want || err != nil {
			t.Errorf("%s: got %q, %v", path, got, err)
		}
	}
	for _, path := range []string{"", "nets", "nets.", ".hidden/nets", "nets.pdf", "nets.graphml"} {
		if _, err := netlist.FormOf(path); err == nil || !strings.Contains(err.Error(), ".csv, .json, .txt or .xlsx") {
			t.Errorf("%q: got %v, want an error that names the endings", path, err)
		}
	}
}

// Every column says what it is, in a name that files can hold.
func TestColumnsExplainThemselves(t *testing.T) {
	var list []*Table
	nets, err := NetList(t.Context(), job(t))
	if err != nil {
		t.Fatal(err)
	}
	wires, err := WireList(t.Context(), job(t))
	if err != nil {
		t.Fatal(err)
	}
	list = append(list, nets, wires, newTable("edges", "", "", edgeFields, nil))
	for _, table := range tables.Tables {
		list = append(list, &Table{Name: sheetName(table), Title: tableGuides[table.Name()].about, Columns: guided(table)})
	}
	for _, table := range list {
		seen := map[string]bool{}
		for _, column := range table.Columns {
			if len(column.About) < 5 || !strings.HasSuffix(column.About, ".") {
				t.Errorf("%s: the column %s says of itself %q", table.Name, column.Name, column.About)
			}
			if seen[column.Name] || strings.Trim(column.Name, "abcdefghijklmnopqrstuvwxyz_") != "" {
				t.Errorf("%s: the column %q is there twice or has a strange name", table.Name, column.Name)
			}
			seen[column.Name] = true
		}
	}
}
