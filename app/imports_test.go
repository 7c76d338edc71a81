package main

import (
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"strings"
	"testing"
)

// layers are the folders of the house, lowest first. A package may import its
// own layer and those below it.
var layers = []string{"model", "graphs", "faults", "app"}

// layerOf returns the place of a package of ours in layers; -1 for assets,
// which everybody above the model may read, -2 for what is not ours.
func layerOf(path string) int {
	inside, ours := strings.CutPrefix(path, "bellout/")
	if !ours {
		return -2
	}
	folder, _, _ := strings.Cut(inside, "/")
	for i, layer := range layers {
		if folder == layer {
			return i
		}
	}
	return -1
}

func within(path, folder string) bool { return path == folder || strings.HasPrefix(path, folder+"/") }

// complaint says why a package must not import another; empty where it may.
func complaint(from, to string, inTest bool) string {
	fromLayer, toLayer := layerOf(from), layerOf(to)
	switch {
	case strings.HasPrefix(to, "fyne.io/") && !within(from, "bellout/app/window") && from != "bellout/app":
		return "only app/window knows of windows, so that everything else runs without a display"
	case strings.HasPrefix(to, "github.com/spf13/cobra") && !within(from, "bellout/app/command"):
		return "only app/command knows of a command line"
	case strings.HasPrefix(to, "github.com/mattn/go-sqlite3") && !within(from, "bellout/model/store"):
		return "only model/store knows how the file is kept"
	case toLayer == -2:
		return ""
	case fromLayer == -1 && toLayer > 0:
		return "assets are read by others and know no more than the model"
	case toLayer > fromLayer && fromLayer >= 0:
		return "imports go one way: app -> faults -> graphs -> model"
	case !inTest && (fromLayer == 1 || fromLayer == 2) && (within(to, "bellout/model/store") || within(to, "bellout/model/tables") || within(to, "bellout/model/atomicfile")):
		return "graphs and faults get a machine and know no file"
	}
	return ""
}

func TestImportsGoOneWay(t *testing.T) {
	out, err := exec.Command("go", "list", "-json=ImportPath,Imports,TestImports,XTestImports", "bellout/...").Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	decoder := json.NewDecoder(strings.NewReader(string(out)))
	packages := 0
	for {
		var listed struct {
			ImportPath                         string
			Imports, TestImports, XTestImports []string
		}
		if err := decoder.Decode(&listed); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		packages++
		for _, to := range listed.Imports {
			if why := complaint(listed.ImportPath, to, false); why != "" {
				t.Errorf("%s imports %s: %s", listed.ImportPath, to, why)
			}
		}
		for _, to := range append(listed.TestImports, listed.XTestImports...) {
			if why := complaint(listed.ImportPath, to, true); why != "" {
				t.Errorf("a test of %s imports %s: %s", listed.ImportPath, to, why)
			}
		}
	}
	if packages < len(layers) {
		t.Errorf("go list named %d packages, fewer than there are layers", packages)
	}
}

func TestWrongImportsAreFound(t *testing.T) {
	for _, row := range []struct {
		from, to string
		inTest   bool
		wrong    bool
	}{
		{"bellout/model", "bellout/graphs", false, true},
		{"bellout/model/store", "bellout/model", false, false},
		{"bellout/graphs", "bellout/faults", true, true},
		{"bellout/faults", "bellout/app/sheets", false, true},
		{"bellout/faults", "bellout/model/tables", false, true},
		{"bellout/faults", "bellout/model/tables", true, false},
		{"bellout/app/command", "bellout/faults", false, false},
		{"bellout/app/command", "bellout/assets", false, false},
		{"bellout/faults", "github.com/spf13/cobra", false, true},
		{"bellout/graphs", "gonum.org/v1/gonum/graph", false, false},
		{"bellout/app/sheets", "github.com/mattn/go-sqlite3", true, true},
		{"bellout/app/command", "fyne.io/fyne/v2", false, true},
	} {
		if why := complaint(row.from, row.to, row.inTest); (why != "") != row.wrong {
			t.Errorf("%s imports %s (in a test: %v): got %q, want a complaint: %v", row.from, row.to, row.inTest, why, row.wrong)
		}
	}
}
