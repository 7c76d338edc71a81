package session_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bellout/app/session"
	"bellout/model"
	"bellout/model/store"
)

// logs puts the tips on the ends of a wire and stores what the meter shows.
func logs(t *testing.T, d *session.Session, wire model.Wire, shows string) {
	t.Helper()
	d.PutTip(session.Red, wire.From)
	d.PutTip(session.Black, wire.To)
	entry, err := session.ReadEntry(shows)
	if err != nil {
		t.Fatal(err)
	}
	if err := d.Log(entry); err != nil {
		t.Fatal(err)
	}
}

// openMoved is a desk whose file was renamed under it, after which two readings
// were typed.
func openMoved(t *testing.T) (d *session.Session, path string, before int) {
	t.Helper()
	path = demoFile(t)
	d = session.New(session.Options{})
	d.Open(path, func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	})
	before = len(d.Machine().Readings)
	if err := os.Rename(path, path+".old"); err != nil {
		t.Fatal(err)
	}
	stop := d.Listen(func(what session.Changed) { // the bench brings back what it hears is not stored, unless it is kept
		if what.Has(session.Noticed) && d.Notice().Bad && len(d.Unstored().Readings) == 0 {
			t.Errorf("it is told %q before the reading is seen to be kept", d.Notice().Text)
		}
	})
	logs(t, d, d.Machine().Wires[0], "b")
	logs(t, d, d.Machine().Wires[1], "0.4")
	stop()
	if kept := d.Unstored(); len(kept.Readings) != 2 || !strings.Contains(kept.Why, "moved, renamed or deleted") || len(kept.Words()) != 2 {
		t.Fatalf("kept are %+v", kept)
	}
	if got := len(d.Machine().Readings); got != before || d.Outcome() != nil {
		t.Fatalf("%d readings, %v: what is not stored is shown as if it were", got, d.Outcome())
	}
	return d, path, before
}

func TestReadingsOfAFileThatIsMovedAreSavedElsewhere(t *testing.T) {
	d, path, before := openMoved(t)
	unplug(t, d)
	elsewhere := filepath.Join(t.TempDir(), "elsewhere.bellout")
	d.SaveElsewhere(elsewhere, func(err error) {
		if err != nil {
			t.Error(err)
		}
	})
	if kept := d.Unstored(); kept.Why != "" || len(kept.Readings) != 0 {
		t.Errorf("kept are %+v", kept)
	}
	if view := d.View(); view.Path != elsewhere || len(view.Machine.Readings) != before+2 || d.Outcome() == nil {
		t.Errorf("%s with %d readings, %v", view.Path, len(view.Machine.Readings), d.Outcome())
	}
	if len(d.Conditions()) != 1 {
		t.Errorf("what holds at the bench was lost: %v", d.Conditions())
	}
	logs(t, d, d.Machine().Wires[2], "b")
	if err := d.Close(); err != nil {
		t.Error(err)
	}
	if got := readingsOf(t, elsewhere); got != before+3 {
		t.Errorf("%d readings in the new file, want %d", got, before+3)
	}
	if _, err := os.Stat(path); err == nil {
		t.Error("something was written where the file was")
	}
}

func TestReadingsOfAFileThatIsPutBackAreStored(t *testing.T) {
	d, path, before := openMoved(t)
	if err := os.Rename(path+".old", path); err != nil {
		t.Fatal(err)
	}
	d.Refresh()
	if kept := d.Unstored(); kept.Why != "" || len(kept.Readings) != 0 {
		t.Errorf("kept are %+v", kept)
	}
	if err := d.Close(); err != nil {
		t.Error(err)
	}
	if got := readingsOf(t, path); got != before+2 {
		t.Errorf("%d readings, want %d", got, before+2)
	}
}

// Another file takes the place of one with readings that are not stored only when
// they are dropped; at the end they are named.
func TestReadingsThatAreNotStoredAreNotForgotten(t *testing.T) {
	d, _, _ := openMoved(t)
	words := d.Unstored().Words()
	other := demoFile(t)
	var failed error
	d.Open(other, func(err error) { failed = err })
	if failed == nil || !strings.Contains(failed.Error(), words[0]) || !strings.Contains(failed.Error(), words[1]) || d.View().Path == other {
		t.Fatalf("opening another file: %v, open is %s", failed, d.View().Path)
	}
	d.Create(filepath.Join(t.TempDir(), "new.bellout"), func(err error) { failed = err })
	if failed == nil || !strings.Contains(failed.Error(), words[0]) {
		t.Fatalf("a new file: %v", failed)
	}
	if err := d.Close(); err == nil || !strings.Contains(err.Error(), words[0]) || !strings.Contains(err.Error(), words[1]) {
		t.Errorf("at the end: %v", err)
	}

	d, _, _ = openMoved(t)
	d.DropUnstored()
	d.Open(other, func(err error) { failed = err })
	if failed != nil || d.View().Path != other {
		t.Errorf("after they were dropped: %v", failed)
	}
	if err := d.Close(); err != nil {
		t.Error(err)
	}
}

// That the file was moved is told as soon as it is seen, by whatever sees it.
func TestAFileThatIsMovedIsToldOf(t *testing.T) {
	for name, do := range map[string]func(*session.Session){
		"Refresh":   (*session.Session).Refresh,
		"an edit":   (*session.Session).Undo,
		"the bench": func(d *session.Session) { unplug(t, d) },
	} {
		path := demoFile(t)
		d := session.New(session.Options{})
		d.Open(path, nil)
		told := 0
		d.Listen(func(what session.Changed) {
			if what.Has(session.NotStored) {
				told++
			}
		})
		if err := os.Remove(path); err != nil {
			t.Fatal(err)
		}
		do(d)
		if name == "an edit" {
			do(d) // the demo's import asks first
		}
		if kept := d.Unstored(); kept.Why == "" || len(kept.Readings) != 0 || told != 1 || !d.Notice().Bad {
			t.Errorf("%s: %+v, told %d times, %v", name, kept, told, d.Notice())
		}
		if err := d.Close(); err != nil {
			t.Error(err)
		}
	}
}

// unplug takes a plug out.
func unplug(t *testing.T, d *session.Session) {
	t.Helper()
	at := slices.IndexFunc(d.Machine().Devices, func(device model.Device) bool { return strings.HasPrefix(device.Ref, "J") })
	if at < 0 {
		t.Fatal("no plug")
	}
	if err := d.AddConditions("unplugged " + d.Machine().Devices[at].Ref); err != nil {
		t.Fatal(err)
	}
}

// A backup that was put in the place of the open file is opened by its name, for
// writing: nobody else has it. So is the file that is open already.
func TestOpeningWhatIsThereNow(t *testing.T) {
	path := demoFile(t)
	content, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	d := session.New(session.Options{})
	fine := func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	d.Open(path, fine)
	before := len(d.Machine().Readings)
	logs(t, d, d.Machine().Wires[0], "b")
	d.Open(path, fine)
	if view := d.View(); view.ReadOnly || len(view.Machine.Readings) != before+1 {
		t.Errorf("opened again it is read only: %v, %d readings", view.ReadOnly, len(view.Machine.Readings))
	}
	if err := os.WriteFile(path+".backup", content, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(path+".backup", path); err != nil {
		t.Fatal(err)
	}
	d.Open(path, fine)
	if view := d.View(); view.ReadOnly || len(view.Machine.Readings) != before || d.Unstored().Why != "" {
		t.Errorf("the backup is read only: %v (%s), %d readings, want %d", view.ReadOnly, view.Why, len(view.Machine.Readings), before)
	}
	logs(t, d, d.Machine().Wires[1], "b")
	fine(d.Close())
	if got := readingsOf(t, path); got != before+1 {
		t.Errorf("%d readings", got)
	}
}

func readingsOf(t *testing.T, path string) int {
	t.Helper()
	file, err := store.Open(path, store.ReadOnly)
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := file.Close(); err != nil {
			t.Error(err)
		}
	}()
	return len(file.Machine().Readings)
}
