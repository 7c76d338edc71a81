package command

import (
	"errors"
	"path/filepath"
	"strings"
	"testing"

	"bellout/model"
	"bellout/model/store"
)

// Who exports learns what stays behind, in one line, and the export is made all
// the same.
func TestExportSaysWhatStaysBehind(t *testing.T) {
	path := lampFile(t)
	dir := filepath.Join(t.TempDir(), "csv")
	if _, errs, code := call(t, Console{}, "export", path, "--as", "csv", "-o", dir); code != ExitDone || strings.Contains(errs, "no place for") {
		t.Fatalf("nothing stays behind, but %q, %d", errs, code)
	}
	file, err := store.Open(path, store.ReadWrite)
	if err != nil {
		t.Fatal(err)
	}
	place := model.Place{Device: file.Machine().Devices[0].Ref, X: 1, Pinned: true}
	err = file.Do(model.Edit{What: "placed", Changes: []model.Change{{After: place}, {After: model.Template{Name: "lamp", Definition: "lamp"}}}})
	if err := errors.Join(err, file.Close()); err != nil {
		t.Fatal(err)
	}
	for kind, out := range map[string]string{"csv": dir, "workbook": filepath.Join(t.TempDir(), "lamp.xlsx")} {
		_, errs, code := call(t, Console{}, "export", path, "--as", kind, "-o", out, "--replace")
		want := "has no place for the place of 1 device on the chart and 1 template of your own; that stays in the project file"
		if code != ExitDone || !strings.Contains(errs, want) || strings.Count(errs, "\n") != 1 {
			t.Errorf("%s: %q, %d", kind, errs, code)
		}
	}
}
