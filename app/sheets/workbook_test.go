package sheets

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"

	"bellout/model"
	"bellout/model/sample"
	"bellout/model/tables"
)

// tester is what tests and drawn ones share.
type tester interface {
	Helper()
	Fatalf(string, ...any)
}

func writtenBook(t tester, m *model.Machine) []byte {
	t.Helper()
	var out bytes.Buffer
	job := Job{Title: "lock", Printed: time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC), Machine: m}
	if err := writeWorkbook(context.Background(), &out, XLSX, job); err != nil {
		t.Fatalf("write: %v", err)
	}
	return out.Bytes()
}

func saved(t tester, dir string, book []byte) string {
	t.Helper()
	path := filepath.Join(dir, "lock.xlsx")
	if err := os.WriteFile(path, book, 0o666); err != nil {
		t.Fatalf("%v", err)
	}
	return path
}

// readBook reads a workbook into a new machine.
func readBook(t tester, path string) *model.Machine {
	t.Helper()
	content, err := ReadWorkbook(context.Background(), path, nil)
	if err != nil {
		t.Fatalf("read: %v", err)
	}
	m, err := content.Machine()
	if err != nil {
		t.Fatalf("machine: %v", err)
	}
	return m
}

// needsCare are texts that CSV, XML or a spreadsheet could turn into others.
var needsCare = []string{
	"=1+1", "+1+1", "-2+3", "@SUM(A1)", "'=1", "=HYPERLINK(\"x\",\"y\")", "007", "1E5", "1e400", "0x1F", "TRUE", "2026-05-04", "3/4", "12:30", "1,5", "0.10", "#REF!",
	`say "open"`, "a,b;c\td", "  two spaces  ", "\n", "first\nsecond", "_x0041_", "_x005F_x0041_", "_x", "&amp; <b>", "]]>",
	"مصباح القفل", "מנעול", "\u200fevil", "🔒🚢", "e\u0301", "\u200b", "\x01\x1f\x1b", "␁␡␀E␊", "\ufffe\uffff", "\u00a0x\u00a0", strings.Repeat("long ", 100), strings.Repeat("ü", 500), "‑12 V",
}

func TestWorkbookBringsTheMachineBack(t *testing.T) {
	dir := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		m := sample.Draw(t)
		for i := range m.Devices {
			m.Devices[i].Title = rapid.SampledFrom(needsCare).Draw(t, "title")
			m.Devices[i].Note = rapid.String().Filter(func(s string) bool {
				return !strings.ContainsAny(s, "\r\x00") && !strings.ContainsFunc(s, model.TurnsDirection)
			}).Draw(t, "note")
		}
		path := saved(t, dir, writtenBook(t, m))
		again := readBook(t, path)
		if !again.Equal(m) {
			t.Fatalf("the workbook differs:\n got %q\nwant %q", again.Sorted().Rows(), m.Sorted().Rows())
		}
		content, err := ReadWorkbook(context.Background(), path, nil)
		if err != nil {
			t.Fatal(err)
		}
		if edit, err := content.EditFor(m); err != nil || len(edit.Changes) > 0 {
			t.Fatalf("importing its own workbook changes the machine: %v, %v", edit.Changes, err)
		}
	})
}

func TestSampleMachineComesBackFromAWorkbook(t *testing.T) {
	m := sample.Machine(1, 3000)
	if !readBook(t, saved(t, t.TempDir(), writtenBook(t, m))).Equal(m) {
		t.Error("the workbook differs")
	}
}

// Numbers are numbers, words are words, and no cell is a formula.
func TestWorkbookCellsAreTyped(t *testing.T) {
	m := model.NewMachine()
	edit := model.Edit{}
	for i, text := range needsCare {
		edit.Changes = append(edit.Changes, model.Change{After: model.Device{Ref: "E" + string(rune('A'+i%26)) + string(rune('a'+i/26)), Title: text, Health: model.HealthUnknown, LoadAmps: model.Known(float64(i) / 8)}})
	}
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	book, err := excelize.OpenReader(bytes.NewReader(writtenBook(t, m)))
	if err != nil {
		t.Fatal(err)
	}
	if names := strings.Join(book.GetSheetList(), " "); names != "about settings devices terminals links wires bonds readings symptoms history" {
		t.Errorf("the sheets are %s", names)
	}
	sorted := m.Sorted()
	for i, device := range sorted.Devices {
		row := i + 2
		kindOf := func(column string) (excelize.CellType, string) {
			cell := column + itoa(row)
			kind, err := book.GetCellType("devices", cell)
			if err != nil {
				t.Fatal(err)
			}
			formula, err := book.GetCellFormula("devices", cell)
			if err != nil || formula != "" {
				t.Errorf("%s holds the formula %q, %v", cell, formula, err)
			}
			value, err := book.GetCellValue("devices", cell, excelize.Options{RawCellValue: true})
			if err != nil {
				t.Fatal(err)
			}
			return kind, value
		}
		if kind, value := kindOf("C"); kind != excelize.CellTypeInlineString && kind != excelize.CellTypeSharedString {
			t.Errorf("the title %q is a cell of type %v with %q", device.Title, kind, value)
		}
		if kind, value := kindOf("G"); kind != excelize.CellTypeUnset && kind != excelize.CellTypeNumber || value != device.LoadAmps.String() {
			t.Errorf("load_a %s is a cell of type %v with %q", device.LoadAmps, kind, value)
		}
	}
	panes, err := book.GetPanes("devices")
	if err != nil || !panes.Freeze || panes.YSplit != 1 {
		t.Errorf("the header does not stay: %+v, %v", panes, err)
	}
	if width, err := book.GetColWidth("devices", "C"); err != nil || width < 40 || width > 60 {
		t.Errorf("a column of long titles is %v wide, %v", width, err)
	}
	style, err := book.GetColStyle("devices", "C")
	if err != nil {
		t.Fatal(err)
	}
	if format, err := book.GetStyle(style); err != nil || format.NumFmt != asText {
		t.Errorf("what is typed into the column title is not kept as text: %+v, %v", format, err)
	}
}

func itoa(n int) string { return numbers([]int64{int64(n)})[0] }

// edited is a workbook after somebody worked on it.
func edited(t *testing.T, m *model.Machine, work func(*excelize.File) error) string {
	t.Helper()
	book, err := excelize.OpenReader(bytes.NewReader(writtenBook(t, m)))
	if err != nil {
		t.Fatal(err)
	}
	if err := work(book); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "edited.xlsx")
	if err := book.SaveAs(path); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestEditedWorkbook(t *testing.T) {
	m := crossed(t)
	path := edited(t, m, func(book *excelize.File) error {
		return errors.Join(
			book.SetCellValue("wires", "H3", "seen"), // W3 by name order W2 W3 W10
			book.SetCellValue("wires", "F4", 1.5),
			book.SetSheetRow("devices", "A9", &[]any{"E1", "lamp", "new"}), // after blank rows
			book.SetCellFormula("devices", "G9", "1+1"),
			book.SetCellValue("devices", "G9", 2), // worked out
			book.SetSheetRow("terminals", "A6", &[]any{"E1", 1}),
			book.SetCellBool("wires", "I4", true),
			func() error { _, err := book.NewSheet("_scratch"); return err }(),
			func() error { _, err := book.NewSheet("Sheet9"); return err }(),
			book.SetCellValue("_scratch", "A1", "mine"),
			book.MoveSheet("wires", "about"),
		)
	})
	content, err := ReadWorkbook(t.Context(), path, nil)
	if err != nil {
		t.Fatal(err)
	}
	edit, err := content.EditFor(m)
	if err != nil {
		t.Fatal(err)
	}
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	w10, _ := m.Wire("W10")
	if !w10.Removed || w10.LengthMetres != model.Known(1.5) {
		t.Errorf("W10 came in as %+v", w10)
	}
	e1, found := m.Device("E1")
	if !found || e1.LoadAmps != model.Known(2) || e1.Title != "new" {
		t.Errorf("E1 came in as %+v", e1)
	}
	if _, found := m.Terminal(model.TerminalRef{Device: "E1", Mark: "1"}); !found {
		t.Error("the mark 1, typed as a number, did not come in")
	}
}

// What a sheet alone can have wrong.
func TestBadWorkbooks(t *testing.T) {
	for name, c := range map[string]struct {
		work func(*excelize.File) error
		want string
	}{
		"a sheet by another name": {func(b *excelize.File) error { return b.SetSheetName("wires", "wire") },
			"edited.xlsx sheet wire: no table has this name; the tables are settings, devices, terminals, links, wires, bonds, readings, symptoms, history; begin the name of a sheet of your own with _"},
		"a formula without a value": {func(b *excelize.File) error { return b.SetCellFormula("devices", "G2", "1+1") },
			"edited.xlsx sheet devices line 2, column load_a: the formula in this cell was never worked out; open the book in a spreadsheet, save it again, or write the value"},
		"a text beside the table": {func(b *excelize.File) error { return b.SetCellValue("devices", "K3", "why?") },
			`edited.xlsx sheet devices line 3, column 11: "why?" stands under an empty header; name the column, or empty the cell`},
		"a word for a number": {func(b *excelize.File) error { return b.SetCellValue("devices", "G3", "two") },
			`edited.xlsx sheet devices line 3, column load_a: "two" is no number; write digits with a point, as in 0.75`},
		"a wire to nowhere": {func(b *excelize.File) error { return b.SetCellValue("wires", "C2", "G2:7") },
			`edited.xlsx sheet wires line 2, column to: no terminal "G2:7"; G2 has +, -`},
		"a table twice": {func(b *excelize.File) error {
			if _, err := b.NewSheet("Wires.csv"); err != nil {
				return err
			}
			return b.SetCellValue("Wires.csv", "A1", "wire")
		}, `edited.xlsx: the sheets "wires" and "Wires.csv" are both the table wires; keep one of the two`},
		"no table": {func(b *excelize.File) error {
			for _, name := range []string{"settings", "devices", "terminals", "links", "wires", "bonds", "readings", "symptoms", "history"} {
				if err := b.DeleteSheet(name); err != nil {
					return err
				}
			}
			return nil
		}, "edited.xlsx: the workbook holds no table; name the sheets settings, devices, terminals, links, wires, bonds, readings, symptoms, history"},
	} {
		t.Run(name, func(t *testing.T) {
			m := crossed(t)
			content, err := ReadWorkbook(t.Context(), edited(t, m, c.work), nil)
			if err == nil {
				_, err = content.EditFor(m)
			}
			if err == nil || err.Error() != c.want {
				t.Errorf("got  %v\nwant %s", err, c.want)
			}
			if _, typed := errors.AsType[*tables.Error](err); !typed {
				t.Errorf("%T is no table's error", err)
			}
		})
	}
}

// Every mistake in a table has the same problem, mend, row and column in a
// workbook as in CSV.
func TestErrorsAreThoseOfCSV(t *testing.T) {
	for name, files := range map[string]map[string][][]string{
		"unknown column":     {"devices": {{"device", "tittle"}, {"G1", "x"}}, "terminals": {{"device", "terminal"}}},
		"column missing":     {"devices": {{"title"}, {"x"}}, "terminals": {{"device", "terminal"}}},
		"column twice":       {"devices": {{"device", "note", "note"}, {"G1", "a", "b"}}, "terminals": {{"device", "terminal"}}},
		"empty key":          {"devices": {{"device", "title"}, {"G1", ""}, {"", "x"}}, "terminals": {{"device", "terminal"}}},
		"twice":              {"devices": {{"device"}, {"G1"}, {"G1"}}, "terminals": {{"device", "terminal"}}},
		"bad number":         {"devices": {{"device", "load_a"}, {"G1", "1.2.3"}, {"G2", "x"}}, "terminals": {{"device", "terminal"}}},
		"bad time":           {"devices": {{"device", "failed_at"}, {"G1", "yesterday"}}, "terminals": {{"device", "terminal"}}},
		"unknown role":       {"devices": {{"device"}, {"G1"}}, "terminals": {{"device", "terminal", "role"}, {"G1", "+", "positive"}}},
		"unknown device":     {"devices": {{"device"}, {"G1"}}, "terminals": {{"device", "terminal"}, {"G2", "+"}}},
		"bad colour":         {"devices": {{"device"}, {"G1"}}, "terminals": {{"device", "terminal"}, {"G1", "1"}, {"G1", "2"}}, "wires": {{"wire", "from", "to", "colour"}, {"W1", "G1:1", "G1:2", "red"}}},
		"wire to itself":     {"devices": {{"device"}, {"G1"}}, "terminals": {{"device", "terminal"}, {"G1", "1"}}, "wires": {{"wire", "from", "to"}, {"W1", "G1:1", "G1:1"}}},
		"unknown condition":  {"devices": {{"device"}, {"G1"}}, "terminals": {{"device", "terminal"}, {"G1", "1"}, {"G1", "2"}}, "readings": {{"red", "black", "value", "conditions"}, {"G1:1", "G1:2", "beep", "unplugged J4"}}},
		"empty header":       {"devices": {{"device", "", "title"}, {"G1", "", "x"}}, "terminals": {{"device", "terminal"}}},
		"no header":          {"devices": {}, "terminals": {{"device", "terminal"}}},
		"unknown setting":    {"settings": {{"key", "value"}, {"beeps", "3"}}, "devices": {{"device"}, {"G1"}}, "terminals": {{"device", "terminal"}}},
		"blank rows between": {"devices": {{"device", "title"}, {"G1", ""}, {"", ""}, {"", ""}, {"G1", ""}}, "terminals": {{"device", "terminal"}}},
	} {
		t.Run(name, func(t *testing.T) {
			folder, book := t.TempDir(), excelize.NewFile()
			if err := book.SetSheetName("Sheet1", "about"); err != nil {
				t.Fatal(err)
			}
			for sheet, rows := range files {
				if _, err := book.NewSheet(sheet); err != nil {
					t.Fatal(err)
				}
				text := ""
				for i, row := range rows {
					text += strings.Join(row, ";") + "\n" // as where the comma is the decimal mark
					cells := []any{}
					for _, cell := range row {
						cells = append(cells, cell)
					}
					if err := book.SetSheetRow(sheet, "A"+itoa(i+1), &cells); err != nil {
						t.Fatal(err)
					}
				}
				if err := os.WriteFile(filepath.Join(folder, sheet+".csv"), []byte(text), 0o666); err != nil {
					t.Fatal(err)
				}
			}
			path := filepath.Join(folder, "book.xlsx")
			if err := book.SaveAs(path); err != nil {
				t.Fatal(err)
			}
			ofCSV := tableError(t, func() (*tables.Content, error) { return tables.ReadFolder(t.Context(), folder, nil) })
			ofBook := tableError(t, func() (*tables.Content, error) { return ReadWorkbook(t.Context(), path, nil) })
			sheet, isSheet := strings.CutPrefix(ofBook.File, "book.xlsx sheet ")
			if name != "no header" && (!isSheet || sheet+".csv" != ofCSV.File) {
				t.Errorf("the workbook blames %q, CSV %q", ofBook.File, ofCSV.File)
			}
			ofBook.File, ofBook.Err, ofCSV.File, ofCSV.Err = "", nil, "", nil
			if name == "no header" { // a sheet without a cell is one that is not there
				return
			}
			if *ofBook != *ofCSV {
				t.Errorf("the workbook says %+v\nCSV says          %+v", *ofBook, *ofCSV)
			}
		})
	}
}

func tableError(t *testing.T, read func() (*tables.Content, error)) *tables.Error {
	t.Helper()
	content, err := read()
	if err == nil {
		_, err = content.EditFor(model.NewMachine())
	}
	found, typed := errors.AsType[*tables.Error](err)
	if !typed {
		t.Fatalf("got %v, want a table's error", err)
	}
	copied := *found
	return &copied
}

// A workbook that was cut off or changed anywhere is refused or read right, and
// never ends the program.
func TestDamagedWorkbooks(t *testing.T) {
	book := writtenBook(t, crossed(t))
	dir := t.TempDir()
	for cut := 0; cut < len(book); cut += 97 {
		if _, err := ReadWorkbook(t.Context(), saved(t, dir, book[:cut]), nil); err == nil {
			t.Fatalf("a workbook cut off after %d of %d bytes was read", cut, len(book))
		} else if _, typed := errors.AsType[*tables.Error](err); !typed {
			t.Fatalf("cut off after %d bytes: %T %v", cut, err, err)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		broken := bytes.Clone(book)
		for range rapid.IntRange(1, 4).Draw(t, "times") {
			broken[rapid.IntRange(0, len(broken)-1).Draw(t, "at")] ^= rapid.Byte().Draw(t, "by")
		}
		if _, err := ReadWorkbook(context.Background(), saved(t, dir, broken), nil); err != nil {
			if _, typed := errors.AsType[*tables.Error](err); !typed {
				t.Fatalf("%T %v", err, err)
			}
		}
	})
}

// A sheet that breaks off inside an archive that is whole is refused too: fewer
// rows than there were must not come in.
func TestASheetThatBreaksOffIsRefused(t *testing.T) {
	book := writtenBook(t, crossed(t))
	whole, err := zip.NewReader(bytes.NewReader(book), int64(len(book)))
	if err != nil {
		t.Fatal(err)
	}
	for _, keep := range []float64{0, 0.5, 0.7, 0.95} {
		var packed bytes.Buffer
		archive := zip.NewWriter(&packed)
		for _, part := range whole.File {
			stream, err := part.Open()
			if err != nil {
				t.Fatal(err)
			}
			text, err := io.ReadAll(stream)
			if err != nil {
				t.Fatal(err)
			}
			if part.Name == "xl/worksheets/sheet3.xml" { // devices
				text = text[:int(keep*float64(len(text)))]
			}
			to, err := archive.Create(part.Name)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := to.Write(text); err != nil {
				t.Fatal(err)
			}
		}
		if err := archive.Close(); err != nil {
			t.Fatal(err)
		}
		_, err := ReadWorkbook(t.Context(), saved(t, t.TempDir(), packed.Bytes()), nil)
		if _, typed := errors.AsType[*tables.Error](err); !typed || !strings.Contains(err.Error(), "lock.xlsx: the workbook is damaged, lock.xlsx sheet devices") {
			t.Errorf("with %v of the sheet: %v", keep, err)
		}
	}
}

func TestReadingAWorkbookCanBeStopped(t *testing.T) {
	path := saved(t, t.TempDir(), writtenBook(t, crossed(t)))
	stopped, stop := context.WithCancel(t.Context())
	stop()
	if _, err := ReadWorkbook(stopped, path, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("it was stopped, and says %v", err)
	}
}

func TestCellTextsComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[a\x01-\x08\x0b\x0e-\x1f␀-␡EF\x{fffe}\x{ffff}\n\t]{0,8}`).Draw(t, "text")
		if got := unclean(clean(text)); got != text {
			t.Fatalf("%q came back as %q", text, got)
		}
	})
}

func TestUnescaped(t *testing.T) {
	for text, want := range map[string]string{
		"_x0041_": "A", "_x005F_x0041_": "_x0041_", "a_x000D_b": "a\rb", "_xD83D__xDD12_": "🔒", "_x41_": "_x41_", "plain": "plain", "_x00e4_": "ä",
	} {
		if got := unescaped(text); got != want {
			t.Errorf("%q is %q, want %q", text, got, want)
		}
	}
}
