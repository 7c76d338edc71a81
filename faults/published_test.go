package faults

import (
	"encoding/csv"
	"fmt"
	"io/fs"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"bellout/assets"
	"bellout/model"
)

// published reads a table of check values, each row with its source.
func published(t testing.TB, files fs.FS, name string) []map[string]string {
	t.Helper()
	file, err := files.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = file.Close() }()
	lines, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]string
	for _, line := range lines[1:] {
		row := map[string]string{}
		for i, column := range lines[0] {
			row[column] = line[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// fusedWire is one wire of a size behind one fuse or breaker, on a supply that
// could burn anything.
func fusedWire(t testing.TB, size, kind string, amps float64, table string) *model.Machine {
	t.Helper()
	return build(t, table, fmt.Sprintf(`
		device G1 supply limit=1000 : + rail 24, - return
		device F1 %s : 1 pass, 2 pass
		link F1 1 2 fuse %v
		device H1 lamp load=0.1 : + feed 24, - return
		wire W1 G1:+ F1:1
		wire W2 F1:2 H1:+ gauge=%s
		wire W3 H1:- G1:-`, kind, amps, strings.ReplaceAll(size, " ", "")))
}

// A fuse of just the printed amperes is right, one a little larger is not.
func fusedAt(t *testing.T, size, kind, printed, setting, source string) {
	t.Helper()
	amps, err := strconv.ParseFloat(printed, 64)
	if err != nil {
		t.Fatal(err)
	}
	silent(t, fusedWire(t, size, kind, amps, setting), "fuse-too-large", "no-fuse")
	found := ruleOf(t, fusedWire(t, size, kind, amps+0.1, setting), "fuse-too-large")
	if len(found) != 1 || !slices.Equal(found[0].Wires, []string{"W2"}) || found[0].Devices[0] != "F1" {
		t.Errorf("%s behind a %s of %v A: got %+v, want W2 and F1; %s", size, kind, amps+0.1, found, source)
	}
}

func TestFusesOfTheAviationTable(t *testing.T) {
	for _, row := range published(t, assets.Tables(), "faa_table_11_3.csv") {
		size := "AWG " + row["awg_copper"]
		fusedAt(t, size, "fuse", row["fuse_a"], "", row["source"])
		if row["breaker_a"] != "" {
			fusedAt(t, size, "breaker", row["breaker_a"], "", row["source"])
		}
	}
}

func TestFusesOfTheMachineTable(t *testing.T) {
	checked := 0
	for _, row := range published(t, assets.Tables(), "ampacity.csv") {
		if row["table"] == "IEC 60204-1 Table 6" && strings.Contains(row["conditions"], "method B2") {
			fusedAt(t, row["size"], "fuse", row["amps"], "", row["source"])
			checked++
		}
	}
	if checked < 9 {
		t.Errorf("only %d sizes checked", checked)
	}
}

func TestFusesOfABuildingCode(t *testing.T) {
	for _, row := range published(t, assets.Tables(), "ampacity.csv") {
		if row["kind"] == "overcurrent_max" && strings.HasPrefix(row["conditions"], "copper") {
			t.Run(row["size"], func(t *testing.T) {
				m := fusedWire(t, row["size"], "fuse", 1, "")
				setting := model.Setting{Key: model.KeyAmpacity, Value: row["table"]}
				if err := m.Apply(model.Edit{Changes: []model.Change{{After: setting}}}); err != nil {
					t.Fatal(err)
				}
				amps, _ := strconv.ParseFloat(row["amps"], 64)
				for _, step := range []struct {
					amps  float64
					count int
				}{{amps, 0}, {amps + 1, 1}} {
					change(t, m, fmt.Sprintf("link F1 1 2 fuse %v", step.amps))
					if found := ruleOf(t, m, "fuse-too-large"); len(found) != step.count {
						t.Errorf("%v A: got %+v, want %d findings; %s", step.amps, found, step.count, row["source"])
					}
				}
			})
		}
	}
}

// The examples of fuse to wire: AWG 14 takes a breaker of 20 A or a fuse of 15 A
// in aircraft, and 15 A in general wiring.
func TestFuseExamples(t *testing.T) {
	rows := published(t, os.DirFS("testdata"), "fuse_examples.csv")
	for _, row := range rows {
		if row["id"] == "faa_14awg" {
			breaker, fuse, _ := strings.Cut(row["expected"], " breaker / ")
			fusedAt(t, "AWG 14", "breaker", breaker, "", row["source"])
			fusedAt(t, "AWG 14", "fuse", strings.TrimSuffix(fuse, " fuse"), "", row["source"])
		}
	}
}

func TestAnUnknownTableOfCurrentsIsSaid(t *testing.T) {
	m := fusedWire(t, "AWG 22", "fuse", 100, "")
	if err := m.Apply(model.Edit{Changes: []model.Change{{After: model.Setting{Key: model.KeyAmpacity, Value: "my table"}}}}); err != nil {
		t.Fatal(err)
	}
	f := one(t, m, "no-fuse")
	if f.Severity != Note {
		t.Errorf("severity %s, want note", f.Severity)
	}
	says(t, f.Message, `no table "my table"`)
	silent(t, m, "fuse-too-large")
}

func TestASizeBetweenTwoTakesTheThinner(t *testing.T) {
	fusedAt(t, "AWG 21", "fuse", "5", "", "decided here, see README: the next thinner printed size")
	found := ruleOf(t, fusedWire(t, "AWG 15", "fuse", 12, ""), "fuse-too-large")
	if len(found) != 1 {
		t.Fatalf("got %+v", found)
	}
	says(t, found[0].Message, "AWG 15, 10 A as AWG 16")
}
