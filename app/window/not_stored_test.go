package window_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"bellout/app/session"
)

// typeInto puts a text into the field that has the keyboard.
func typeInto(t *testing.T, w interface{ Fyne() fyne.Window }, text string) {
	t.Helper()
	field, ok := w.Fyne().Canvas().Focused().(interface{ SetText(string) })
	if !ok {
		t.Fatalf("the keyboard is at %T, and no field", w.Fyne().Canvas().Focused())
	}
	field.SetText(text)
}

// The file is renamed under the window: the reading that was typed is kept, a
// card asks where everything is to go, and the window goes on there.
func TestAFileThatIsRenamedUnderTheWindow(t *testing.T) {
	path := demoFile(t)
	w, d := open(t, path)
	readings := len(d.Machine().Readings)
	if err := os.Rename(path, path+".old"); err != nil {
		t.Fatal(err)
	}
	wire := d.Machine().Wires[0]
	d.PutTip(session.Red, wire.From)
	d.PutTip(session.Black, wire.To)
	entry, err := session.ReadEntry("b")
	if err == nil {
		err = d.Log(entry)
	}
	if err != nil {
		t.Fatal(err)
	}
	save(t, w, "not-stored")
	if kept := d.Unstored(); len(kept.Readings) != 1 {
		t.Fatalf("kept are %+v", kept)
	}
	// Closed, it asks once more; put away, Ctrl S brings it back.
	press(t, w, "Esc")
	press(t, w, "Ctrl S")
	if text := w.Fyne().Canvas().Focused().(interface{ SelectedText() string }).SelectedText(); !strings.HasSuffix(text, "-saved.bellout") {
		t.Errorf("the card offers %q", text)
	}
	elsewhere := filepath.Join(t.TempDir(), "elsewhere")
	typeInto(t, w, elsewhere)
	key(w, fyne.KeyReturn)
	if view := d.View(); view.Path != elsewhere+".bellout" || len(view.Machine.Readings) != readings+1 || d.Unstored().Why != "" {
		t.Errorf("open is %s with %d readings, kept are %+v", view.Path, len(view.Machine.Readings), d.Unstored())
	}
	save(t, w, "saved-elsewhere")
}
