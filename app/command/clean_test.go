package command

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"bellout/model"
)

// What programs read is as clean as what people read: a title from a stranger's
// table moves no cursor wherever it is printed on from JSON.
func TestJSONHoldsNoControlCharacters(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "lamp.bellout")
	const dirty = "lamp \x1b]0;evil\x07 \x1b[2J\u009b31m\x7f\x00"
	folder := filepath.Join(dir, "csv")
	if err := os.CopyFS(folder, os.DirFS(filepath.Join("testdata", "lamp"))); err != nil {
		t.Fatal(err)
	}
	devices, err := os.ReadFile(filepath.Join(folder, "devices.csv"))
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(devices)), "\n")
	header := strings.Split(lines[0], ",")
	for i, line := range lines[1:] {
		cells := strings.Split(line, ",")
		for at, word := range header {
			switch word {
			case "title", "zone", "note":
				cells[at] = strings.TrimSuffix(dirty, "\x00")
			case "health":
				cells[at] = "failed"
			}
		}
		lines[i+1] = strings.Join(cells, ",")
	}
	if err := os.WriteFile(filepath.Join(folder, "devices.csv"), []byte(strings.Join(lines, "\n")), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, errs, code := call(t, Console{}, "import", path, folder); code != ExitDone {
		t.Fatal(errs)
	}
	machine, err := readMachine(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(machine.Devices[0].Title, "\x1b") {
		t.Fatalf("the title came in as %q", machine.Devices[0].Title)
	}
	device, wire := machine.Devices[0].Ref, machine.Wires[0]
	for _, words := range [][]string{
		{"check", path}, {"nets", path}, {"next", path}, {"suspects", path}, {"trace", path, device}, {"whatif", path, wire.Name}, {"replace", path, device},
		{"expect", path, wire.From.String(), wire.To.String()}, {"state", path}, {"export", path, "--as", "netlist", "-o", filepath.Join(dir, "n.json")},
		{"export", path, "--as", "wirelist", "-o", filepath.Join(dir, "w.json")}, {"export", path, "--as", "labels", "-o", filepath.Join(dir, "l.json")},
		{"log", path, wire.From.String(), wire.To.String(), "OL", "--note", "x\x1b[2J"}, {"check", path},
	} {
		out, errs, code := call(t, Console{}, append(words, "--json")...)
		if code == ExitBad {
			t.Errorf("%v: %s", words, errs)
			continue
		}
		checkClean(t, words, []byte(out))
	}
	written, err := filepath.Glob(filepath.Join(dir, "*.json"))
	if err != nil || len(written) != 3 {
		t.Fatal(written, err)
	}
	for _, name := range written {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		checkClean(t, []string{name}, text)
	}
}

func checkClean(t *testing.T, words []string, text []byte) {
	t.Helper()
	var read any
	if err := json.Unmarshal(text, &read); err != nil {
		t.Errorf("%v: %v", words, err)
	}
	var walk func(value any)
	walk = func(value any) {
		switch value := value.(type) {
		case string:
			for _, r := range value {
				if r != '\n' && r != '\t' && (unicode.IsControl(r) || model.TurnsDirection(r)) {
					t.Errorf("%v: %+q in %q", words, r, value)
					return
				}
			}
		case []any:
			for _, item := range value {
				walk(item)
			}
		case map[string]any:
			for name, item := range value {
				walk(name)
				walk(item)
			}
		}
	}
	walk(read)
}
