package sheets

import (
	"context"
	"encoding/csv"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"bellout/model"
	"bellout/model/sample"
	"bellout/model/tables"
)

// office opens a workbook in a spreadsheet and returns what each sheet shows, as
// rows of cells, formulas not worked out anew. The token is that of the program's
// CSV filter: comma, quote, UTF-8, from line 1, cells of text in quotes, as they
// are stored, every sheet into a file of its own.
func office(t *testing.T, path string) map[string][][]string {
	t.Helper()
	program, err := exec.LookPath("soffice")
	if err != nil {
		t.Skip("soffice is not on this machine: what a spreadsheet shows of the workbook was not looked at")
	}
	dir := t.TempDir()
	run := exec.CommandContext(t.Context(), program, "--headless", "-env:UserInstallation=file://"+filepath.Join(dir, "profile"),
		"--convert-to", `csv:Text - txt - csv (StarCalc):44,34,76,1,,0,true,false,false,false,false,-1`, "--outdir", dir, path)
	if said, err := run.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	shown := map[string][][]string{}
	files, err := filepath.Glob(filepath.Join(dir, "*.csv"))
	if err != nil {
		t.Fatal(err)
	}
	stem := strings.TrimSuffix(filepath.Base(path), ".xlsx") + "-"
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		reader := csv.NewReader(strings.NewReader(string(text)))
		reader.FieldsPerRecord = -1
		rows, err := reader.ReadAll()
		if err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		shown[strings.TrimPrefix(strings.TrimSuffix(filepath.Base(file), ".csv"), stem)] = rows
	}
	return shown
}

// hostile is a small machine whose every text needs care.
func hostile(t *testing.T) *model.Machine {
	t.Helper()
	m := sample.Machine(4, 600)
	at := 0
	next := func() string {
		at++
		return needsCare[at%len(needsCare)]
	}
	for i := range m.Devices {
		m.Devices[i].Title, m.Devices[i].Note, m.Devices[i].Zone = next(), next(), next()
	}
	for i := range m.Wires {
		m.Wires[i].Cable = next()
	}
	edit := model.Edit{}
	for _, name := range []string{"=1+1", "@x", "007", "1E5", "2026-05-04", `say"hi"`, "a,b", "مصباح", "🔒", strings.Repeat("K", 500)} {
		edit.Changes = append(edit.Changes, model.Change{After: model.Device{Ref: name, Kind: model.KindOther, Health: model.HealthUnknown}},
			model.Change{After: model.Terminal{Device: name, Mark: "+1"}}, model.Change{After: model.Terminal{Device: name, Mark: "=2"}},
			model.Change{After: model.Link{Device: name, From: "+1", To: "=2", Kind: model.LinkSolid}})
	}
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	return m
}

func TestASpreadsheetShowsTheSame(t *testing.T) {
	if testing.Short() {
		t.Skip("opening a spreadsheet takes seconds")
	}
	m := hostile(t)
	path := saved(t, t.TempDir(), writtenBook(t, m))
	shown := office(t, path)
	for _, table := range tables.Tables {
		rows := shown[sheetName(table)]
		if len(rows) == 0 || !slices.Equal(rows[0], table.Header()) {
			t.Errorf("the sheet %s shows the header %q", sheetName(table), rows)
			continue
		}
		at := 0
		err := table.Cells(m.Sorted(), func(cells []string) error {
			if at++; at >= len(rows) {
				t.Errorf("%s shows %d rows, and there are more", sheetName(table), len(rows))
				return nil
			}
			for i, want := range cells {
				if got := rows[at][i]; !sameShown(got, clean(want)) {
					t.Errorf("sheet %s row %d, %s shows %q, want %q", sheetName(table), at+1, table.Header()[i], got, want)
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		if at != len(rows)-1 {
			t.Errorf("%s shows %d rows, there are %d", sheetName(table), len(rows)-1, at)
		}
	}
}

// sameShown compares a cell with its text; of a number a spreadsheet keeps 15
// digits.
func sameShown(got, want string) bool {
	if got == want {
		return true
	}
	a, errA := strconv.ParseFloat(got, 64)
	b, errB := strconv.ParseFloat(want, 64)
	return errA == nil && errB == nil && strconv.FormatFloat(a, 'g', 14, 64) == strconv.FormatFloat(b, 'g', 14, 64)
}

// Somebody opens the workbook in a spreadsheet and saves it: it still comes in
// as the same machine.
func TestAWorkbookThatASpreadsheetSavedComesBack(t *testing.T) {
	if testing.Short() {
		t.Skip("opening a spreadsheet takes seconds")
	}
	program, err := exec.LookPath("soffice")
	if err != nil {
		t.Skip("soffice is not on this machine: a workbook saved by a spreadsheet was not looked at")
	}
	m := hostile(t)
	// The spreadsheet that we look at loses one escape of this text when it
	// saves, its own workbooks included; what it reads of ours is right.
	for i := range m.Devices {
		for _, text := range []*string{&m.Devices[i].Title, &m.Devices[i].Zone, &m.Devices[i].Note} {
			if *text == "_x005F_x0041_" {
				*text = ""
			}
		}
	}
	for i := range m.Wires {
		if m.Wires[i].Cable == "_x005F_x0041_" {
			m.Wires[i].Cable = ""
		}
	}
	path := saved(t, t.TempDir(), writtenBook(t, m))
	dir := t.TempDir()
	run := exec.CommandContext(t.Context(), program, "--headless", "-env:UserInstallation=file://"+filepath.Join(dir, "profile"),
		"--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", dir, path)
	if said, err := run.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	again := readBook(t, filepath.Join(dir, "lock.xlsx"))
	if again.Equal(m) {
		return
	}
	got, want := again.Sorted().Rows(), m.Sorted().Rows()
	for i := range want {
		if i >= len(got) || got[i] != want[i] {
			t.Fatalf("came back as\n%q, want\n%q", got[min(i, len(got)-1)], want[i])
		}
	}
}

// A sheet's CSV opens in a spreadsheet without a formula.
func TestASpreadsheetRunsNothingOfTheCSV(t *testing.T) {
	if testing.Short() {
		t.Skip("opening a spreadsheet takes seconds")
	}
	program, err := exec.LookPath("soffice")
	if err != nil {
		t.Skip("soffice is not on this machine: what a spreadsheet makes of the CSV was not looked at")
	}
	dir := t.TempDir()
	if err := tables.WriteFolder(context.Background(), hostile(t), dir, false); err != nil {
		t.Fatal(err)
	}
	run := exec.CommandContext(t.Context(), program, "--headless", "-env:UserInstallation=file://"+filepath.Join(dir, "profile"),
		"--infilter=Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false,false,false", // numbers and formulas are looked for
		"--convert-to", "fods", "--outdir", dir, filepath.Join(dir, "devices.csv"))
	if said, err := run.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	text, err := os.ReadFile(filepath.Join(dir, "devices.fods"))
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(string(text), "table:formula=") {
		at := strings.Index(string(text), "table:formula=")
		t.Errorf("the spreadsheet made a formula: %.120s", text[at:])
	}
}
