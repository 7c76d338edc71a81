package window_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bellout/app/command"
	"bellout/app/session"
	"bellout/app/window"
	"bellout/model"
	"bellout/model/store"
)

// press does what a key does, or the test ends.
func press(t *testing.T, w *window.Window, cap string) {
	t.Helper()
	if !w.Press(cap) {
		t.Fatalf("no action has the key %s", cap)
	}
}

func key(w *window.Window, name fyne.KeyName) {
	w.Fyne().Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: name})
}

func TestSheetsAreSeenAndWritten(t *testing.T) {
	path := demoFile(t)
	w, _ := open(t, path)
	press(t, w, "F5")
	save(t, w, "sheets-doorcard")
	key(w, fyne.KeyDown)
	key(w, fyne.KeyDown)
	key(w, fyne.KeyPageDown)
	w.Fyne().Canvas().Focused().TypedRune('+')
	save(t, w, "sheets-zoomed")
	press(t, w, "Ctrl Shift P")
	press(t, w, "Ctrl E")
	out := filepath.Join(t.TempDir(), "sheet.pdf")
	field, ok := w.Fyne().Canvas().Focused().(interface{ SetText(string) })
	if !ok {
		t.Fatalf("Ctrl E leaves the keyboard at %T", w.Fyne().Canvas().Focused())
	}
	field.SetText(out)
	press(t, w, "Ctrl E") // the key of the button Write, now that the path can be read
	content, err := os.ReadFile(out)
	if err != nil || !bytes.HasPrefix(content, []byte("%PDF")) {
		t.Fatalf("%d bytes, %v", len(content), err)
	}
	if !bytes.Contains(content, []byte("612.00 792.00")) && !bytes.Contains(content, []byte("792.00 612.00")) && !bytes.Contains(content, []byte("MediaBox [0 0 612")) && !bytes.Contains(content, []byte("MediaBox [0 0 792")) {
		t.Error("the pages are not of letter size")
	}
	press(t, w, "Ctrl D")
	press(t, w, "F5")
	save(t, w, "sheets-night")
	press(t, w, "Ctrl E")
	typed, ok := w.Fyne().Canvas().Focused().(interface{ SelectedText() string })
	if !ok || typed == nil {
		t.Error("the field lost the keyboard")
	}
	// A form that there is not: said under the field, nothing written.
	field = w.Fyne().Canvas().Focused().(interface{ SetText(string) })
	field.SetText(filepath.Join(t.TempDir(), "sheet.doc"))
	key(w, fyne.KeyReturn)
	save(t, w, "sheets-wrong")
}

// A file that is there is asked about: the key once more writes over it. A
// project is never written over, and no copy of a project either.
func TestASheetAsksBeforeItReplacesAFile(t *testing.T) {
	path := demoFile(t)
	w, d := open(t, path)
	press(t, w, "F5")
	press(t, w, "Ctrl E")
	field, ok := w.Fyne().Canvas().Focused().(interface{ SetText(string) })
	if !ok {
		t.Fatalf("Ctrl E leaves the keyboard at %T", w.Fyne().Canvas().Focused())
	}
	letter := filepath.Join(t.TempDir(), "letter.pdf")
	other := filepath.Join(t.TempDir(), "other.pdf")
	if err := os.WriteFile(letter, []byte("dear"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := command.WriteDemo(t.Context(), other); err != nil {
		t.Fatal(err)
	}
	write := func(path string) []byte {
		field.SetText(path)
		press(t, w, "Ctrl E")
		content, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		return content
	}
	if got := write(letter); string(got) != "dear" {
		t.Fatalf("a file was replaced, and nobody was asked: %.10q", got)
	}
	save(t, w, "sheets-asked")
	project := write(other) // between the two: the question was about the letter
	write(other)
	if got := write(letter); string(got) != "dear" {
		t.Fatalf("the question was forgotten by another, and the file replaced: %.10q", got)
	}
	if got := write(letter); !bytes.HasPrefix(got, []byte("%PDF")) {
		t.Errorf("asked twice, and the file holds %.10q", got)
	}
	if got := write(other); !bytes.Equal(got, project) || !bytes.HasPrefix(got, []byte("SQLite")) {
		t.Error("a project was written over by a sheet")
	}
	failed := errors.New("not called")
	d.SaveCopy(other, func(err error) { failed = err })
	if !errors.Is(failed, store.ErrExists) {
		t.Errorf("a copy over another project: %v", failed)
	}
}

func TestStatesAreNamedComparedAndVerifiedAgain(t *testing.T) {
	w, d := open(t, demoFile(t))
	press(t, w, "F5")
	press(t, w, "Ctrl Shift N")
	test.Type(w.Fyne().Canvas().Focused(), "as found")
	key(w, fyne.KeyReturn)
	var names []string
	d.AskStates(func(list []store.NamedState) {
		for _, s := range list {
			names = append(names, s.Name)
		}
	})
	if len(names) != 1 || names[0] != "as found" {
		t.Fatalf("named: %q", names)
	}
	wire, _ := d.Machine().Wire("W228")
	out := wire
	out.Removed = true
	moved, _ := d.Machine().Wire("W201")
	elsewhere := moved
	elsewhere.From = model.TerminalRef{Device: "J7", Mark: "B12"}
	d.Do(model.Edit{What: "the repair", Changes: []model.Change{{Before: wire, After: out}, {Before: moved, After: elsewhere}}}, func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	})
	press(t, w, "Ctrl Shift B")
	key(w, fyne.KeyReturn)
	save(t, w, "states-compared")
	press(t, w, "Ctrl Shift Q")
	waiting := d.Waiting()
	if waiting.Total == 0 || waiting.Left != waiting.Total {
		t.Fatalf("nothing waits at the bench: %+v", waiting)
	}
	first := d.View().Next
	if first == nil || first.Probe == nil || !strings.Contains(first.Why, "After the change: ") {
		t.Fatalf("the bench is offered %+v", first)
	}
	if !d.Take() {
		t.Fatal("the probe cannot be taken")
	}
	if err := d.Log(session.Entry{Value: model.Value{Kind: model.ShowsBeep}, Mode: model.ModeContinuity}); err != nil {
		t.Fatal(err)
	}
	if got := d.Waiting(); got.Left != waiting.Left-1 {
		t.Errorf("one was answered, and %d of %d are left", got.Left, got.Total)
	}
	d.Undo()
	if got := d.Waiting(); got.Left != waiting.Left {
		t.Errorf("the answer was taken back, and %d of %d are left", got.Left, got.Total)
	}
	d.Skip()
	if got := d.Waiting(); got.Left != waiting.Left-1 {
		t.Errorf("one was skipped, and %d of %d are left", got.Left, got.Total)
	}
	press(t, w, "Ctrl Shift K")
	h := d.Highlight()
	if !strings.Contains(h.What, "as found to now; taken out: W228") {
		t.Errorf("brought out: %+v", h)
	}
	if len(h.Gone) == 0 || h.Gone[0].Name != "W228" || h.Gone[0].From == "" || h.Gone[0].To == "" {
		t.Errorf("the chart is given %+v to draw as gone, want W228 between its ends", h.Gone)
	}
	save(t, w, "states-on-chart")
	press(t, w, "Ctrl D")
	press(t, w, "F5")
	save(t, w, "states-night")
}

func TestAnotherCopyComesInAndConflictsAreChosen(t *testing.T) {
	path := demoFile(t)
	w, d := open(t, path)
	other := filepath.Join(t.TempDir(), "anna.bellout")
	d.SaveCopy(other, func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	})
	retitle := func(m *model.Machine, title string) model.Edit {
		before, _ := m.Device("A2")
		after := before
		after.Title = title
		return model.Edit{What: "retitled", Changes: []model.Change{{Before: before, After: after}}}
	}
	file, err := store.Open(other, store.ReadWrite)
	if err != nil {
		t.Fatal(err)
	}
	if err := file.Do(retitle(file.Machine(), "lamp board")); err != nil {
		t.Fatal(err)
	}
	if _, err := file.Log(model.Reading{Red: model.TerminalRef{Device: "G1", Mark: "+"}, Black: model.TerminalRef{Device: "F1", Mark: "1"}, Mode: model.ModeContinuity, Value: model.Value{Kind: model.ShowsBeep}}); err != nil {
		t.Fatal(err)
	}
	if err := file.Close(); err != nil {
		t.Fatal(err)
	}
	d.Do(retitle(d.Machine(), "dimmer"), nil)
	readings := len(d.Machine().Readings)

	press(t, w, "F5")
	press(t, w, "Ctrl Shift O")
	test.Type(w.Fyne().Canvas().Focused(), other)
	key(w, fyne.KeyReturn)
	save(t, w, "joining")
	press(t, w, "Ctrl Shift J") // not decided: refused
	if a2, _ := d.Machine().Device("A2"); a2.Title != "dimmer" {
		t.Fatalf("merged before it was decided: %q", a2.Title)
	}
	press(t, w, "Ctrl Shift Y")
	save(t, w, "joining-decided")
	press(t, w, "Ctrl Shift J")
	if a2, _ := d.Machine().Device("A2"); a2.Title != "lamp board" || len(d.Machine().Readings) != readings+1 {
		t.Errorf("A2 is %q, and there are %d readings, were %d", a2.Title, len(d.Machine().Readings), readings)
	}
	d.Undo()
	if a2, _ := d.Machine().Device("A2"); a2.Title != "dimmer" {
		t.Errorf("taken back, A2 is %q", a2.Title)
	}
}

func TestTheSheetForReplacingIsThatOfTheDeviceLookedAt(t *testing.T) {
	w, d := open(t, demoFile(t))
	d.Select(session.Selection{Kind: session.Device, Name: "A2"})
	press(t, w, "Ctrl Shift R")
	save(t, w, "replacing")
	press(t, w, "Ctrl E")
	out := filepath.Join(t.TempDir(), "a2")
	w.Fyne().Canvas().Focused().(interface{ SetText(string) }).SetText(out)
	key(w, fyne.KeyReturn)
	pages, err := filepath.Glob(filepath.Join(out, "*.svg"))
	if err != nil || len(pages) == 0 {
		t.Fatalf("%v, %v", pages, err)
	}
	content, err := os.ReadFile(pages[0])
	if err != nil || !strings.Contains(string(content), "Replacing A2") {
		t.Errorf("%d bytes, %v", len(content), err)
	}
}
