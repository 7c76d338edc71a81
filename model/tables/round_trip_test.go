package tables

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"pgregory.net/rapid"

	"bellout/model"
	"bellout/model/sample"
)

// imported reads a folder into a new machine.
func imported(t interface {
	Helper()
	Fatalf(string, ...any)
}, dir string) *model.Machine {
	t.Helper()
	content, err := ReadFolder(context.Background(), dir, nil)
	if err != nil {
		t.Fatalf("read: %v", err)
	}
	m := model.NewMachine()
	edit, err := content.EditFor(m)
	if err != nil {
		t.Fatalf("edit: %v", err)
	}
	if err := m.Apply(edit); err != nil {
		t.Fatalf("apply: %v", err)
	}
	return m
}

// folderBytes returns the files of a folder by name.
func folderBytes(t interface{ Fatalf(string, ...any) }, dir string) map[string]string {
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatalf("%v", err)
	}
	files := map[string]string{}
	for _, entry := range entries {
		text, err := os.ReadFile(filepath.Join(dir, entry.Name()))
		if err != nil {
			t.Fatalf("%v", err)
		}
		files[entry.Name()] = string(text)
	}
	return files
}

func compareFiles(t interface{ Fatalf(string, ...any) }, got, want map[string]string) {
	for name, text := range want {
		if got[name] != text {
			t.Fatalf("%s differs:\n got %q\nwant %q", name, got[name], text)
		}
	}
	if len(got) != len(want) {
		t.Fatalf("%d files, want %d", len(got), len(want))
	}
}

func TestExportThenImportIsTheSameMachine(t *testing.T) {
	root := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		first, second := newFolder(t, root), newFolder(t, root)
		m := sample.Draw(t)
		if err := WriteFolder(context.Background(), m, first, false); err != nil {
			t.Fatalf("write: %v", err)
		}
		again := imported(t, first)
		if !again.Equal(m) {
			t.Fatalf("import of the export differs:\n got %v\nwant %v", again.Sorted().Rows(), m.Sorted().Rows())
		}
		if err := WriteFolder(context.Background(), again, second, false); err != nil {
			t.Fatalf("write again: %v", err)
		}
		compareFiles(t, folderBytes(t, second), folderBytes(t, first))
		content, err := ReadFolder(context.Background(), first, nil)
		if err != nil {
			t.Fatalf("read: %v", err)
		}
		if edit, err := content.EditFor(m); err != nil || len(edit.Changes) > 0 {
			t.Fatalf("importing its own export changes the machine: %v, %v", edit.Changes, err)
		}
	})
}

// What no meter shows is taken no more; a file of an earlier version that holds it goes
// out and comes back once it is struck out.
func TestAStruckReadingBeyondEveryMeterComesBack(t *testing.T) {
	m := sample.Machine(1, 30)
	reading := model.Reading{
		Number: int64(len(m.Readings) + 1), Red: m.Wires[0].From, Black: m.Wires[0].To, Mode: model.ModeOhms, Value: model.Value{Number: 1e308},
	}
	if err := m.Apply(model.Edit{What: "an earlier version", Changes: []model.Change{{After: reading}}}); err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := WriteFolder(context.Background(), m, dir, false); err != nil {
		t.Fatal(err)
	}
	if _, err := ReadFolder(context.Background(), dir, nil); err == nil {
		t.Error("1e308 ohm is taken")
	}
	struck := reading
	struck.Struck = "no meter shows this"
	if err := m.Apply(model.Edit{What: "struck", Changes: []model.Change{{Before: reading, After: struck}}}); err != nil {
		t.Fatal(err)
	}
	if err := os.RemoveAll(dir); err != nil {
		t.Fatal(err)
	}
	if err := WriteFolder(context.Background(), m, dir, false); err != nil {
		t.Fatal(err)
	}
	if !imported(t, dir).Equal(m) {
		t.Error("import of the export differs")
	}
}

func newFolder(t interface{ Fatalf(string, ...any) }, root string) string {
	dir, err := os.MkdirTemp(root, "")
	if err != nil {
		t.Fatalf("%v", err)
	}
	return dir
}

func TestSampleMachineComesBack(t *testing.T) {
	dir := t.TempDir()
	m := sample.Machine(1, 3000)
	if err := WriteFolder(context.Background(), m, dir, false); err != nil {
		t.Fatal(err)
	}
	if !imported(t, dir).Equal(m) {
		t.Error("import of the export differs")
	}
}

// One pass brings any way of writing into the one form.
func TestWaysOfWritingGiveOneForm(t *testing.T) {
	want := map[string]string{
		"devices.csv":   "device,kind,title,zone,health,failed_at,load_a,limit_a,note\nG1,supply,\"12 V, main\",cabinet,unknown,,,5.5,\nX1,other,,,failed,2026-05-01T10:00:00+02:00,,,\"first\nsecond \"\"line\"\"\"\n",
		"terminals.csv": "device,terminal,role,volts,min_v,max_v,section\nG1,+,rail,12,,,\nG1,-,return,,,,\nX1,1,,,,,\nX1,2,,,,,\n",
		"wires.csv":     "wire,from,to,colour,gauge,length_m,cable,basis,removed\nW2,G1:+,X1:1,RDBU,0.75 mm2,1.5,,planned,\nW10,G1:-,X1:2,,AWG 18,,,seen,yes\n",
		"readings.csv":  "at,red,black,mode,value,drift,conditions,note,meter,struck\n,G1:+,X1:1,continuity,beep,,,,,\n,G1:-,X1:2,ohms,4700,,lifted W10; unplugged X1,,,\n",
	}
	ways := map[string]map[string]string{
		"commas, LF": {
			"devices.csv":   "device,kind,title,zone,health,failed_at,limit_a,note\nX1,,,,failed,2026-05-01T10:00:00+02:00,,\"first\nsecond \"\"line\"\"\"\nG1,supply,\"12 V, main\",cabinet,,,5.50,\n",
			"terminals.csv": "terminal,device,role,volts\n2,X1,,\n+,G1,rail,12\n-,G1,return,\n1,X1,,\n",
			"wires.csv":     "wire,from,to,colour,gauge,length_m,basis,removed\nW10,G1:-,X1:2,,awg18,,seen,yes\nW2,G1:+,X1:1,burd,0.75mm2,1.5,,no\n",
			"readings.csv":  "red,black,value,conditions\nG1:+,X1:1,beep,\nG1:-,X1:2,4.7k,unplugged X1;lifted W10\n",
		},
		"byte-order mark, semicolons, CRLF, decimal commas, spaces, blank lines": {
			"devices.csv":   "\ufeffdevice;kind;title;zone;health;failed_at;limit_a;note;\r\n\r\nG1 ;supply; \"12 V, main\" ;cabinet;unknown;;5,5;;\r\nX1;other;;;failed;2026-05-01T10:00:00+02:00;;\"first\r\nsecond \"\"line\"\"\";\r\n;;;;;;;;\r\n",
			"terminals.csv": "\ufeffdevice;terminal;role;volts\r\n\tG1;+;rail;12,0\r\nG1;-;return;\r\n  \r\nX1;1;;\r\nX1;2;;",
			"wires.csv":     "\ufeff\"wire\";from;to;colour;gauge;length_m;cable;basis;removed\r\nW2;G1:+;X1:1;RDBU;0,75 mm2;1,50;;planned;0\r\nW10;G1:-;X1:2;;AWG 18;;;seen;TRUE\r\n",
			"readings.csv":  "\ufeffat;red;black;mode;value;drift;conditions\r\n;G1:+;X1:1;continuity;beep;;\r\n;G1:-;X1:2;ohms;4,7k;;\"lifted W10; unplugged X1\"\r\n",
		},
	}
	for name, files := range ways {
		t.Run(name, func(t *testing.T) {
			in, out := t.TempDir(), t.TempDir()
			writeFiles(t, in, files)
			if err := WriteFolder(context.Background(), imported(t, in), out, false); err != nil {
				t.Fatal(err)
			}
			compareFiles(t, folderBytes(t, out), want)
		})
	}
}

func writeFiles(t *testing.T, dir string, files map[string]string) {
	t.Helper()
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}
