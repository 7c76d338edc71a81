package command

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bellout/faults"
	"bellout/faults/nextprobe"
	"bellout/model"
	"bellout/model/store"
)

// stored returns the readings of a file, as "RED BLACK value".
func stored(t *testing.T, path string) (list []string) {
	t.Helper()
	machine, err := readMachine(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	for _, reading := range machine.Readings {
		if reading.Stands() {
			list = append(list, reading.Red.String()+" "+reading.Black.String()+" "+reading.Value.String())
		}
	}
	return list
}

// isKept fails unless an answer says in one line that its reading is kept, and
// why.
func isKept(t *testing.T, said map[string]any, why string) {
	t.Helper()
	text, _ := said["error"].(string)
	if !strings.Contains(text, "not stored, and kept: ") || !strings.Contains(text, why) || !strings.Contains(text, `{"save":"OTHER.bellout"}`) {
		t.Errorf("got %v, want a reading that is kept, and %q", said, why)
	}
}

// The file is moved, deleted or replaced under a station: an answer is told so,
// kept, and stored when everything is saved elsewhere, where the sitting goes on.
func TestStationWhoseFileIsMoved(t *testing.T) {
	for name, move := range map[string]func(path string) error{
		"renamed":  func(path string) error { return os.Rename(path, path+".old") },
		"deleted":  os.Remove,
		"replaced": func(path string) error { return os.Rename(path+".backup", path) },
	} {
		t.Run(name, func(t *testing.T) {
			path := lampFile(t)
			content, err := os.ReadFile(path)
			if err := errors.Join(err, os.WriteFile(path+".backup", content, 0o644)); err != nil {
				t.Fatal(err)
			}
			b := sitDown(t, path, "verify")
			probe := b.hear()["probe"].(map[string]any)
			before, next := b.say(`{"value":0.25}`)
			if before["reading"] != 1.0 {
				t.Fatalf("got %v", before)
			}
			if err := move(path); err != nil {
				t.Fatal(err)
			}
			said, same := b.say(`{"value":0.5}`)
			isKept(t, said, "while it was open")
			if probe := same["probe"].(map[string]any); probe["red"] != next["probe"].(map[string]any)["red"] {
				t.Errorf("it goes on to %v, while the answer is not stored", probe)
			}
			said, _ = b.say(`{"value":0.75}`) // said again, otherwise: that one counts
			isKept(t, said, "while it was open")
			if said, _ = b.say(`{"save":""}`); said["error"] == nil {
				t.Errorf("got %v", said)
			}
			other := lampFile(t)
			if said, _ = b.say(`{"save":"` + other + `"}`); said["error"] == nil {
				t.Errorf("it saves over another project: %v", said)
			}
			elsewhere := path + ".saved"
			if _, err := io.WriteString(b.in, `{"save":"`+elsewhere+`"}`+"\n"); err != nil {
				t.Fatal(err)
			}
			for _, want := range []string{"saved", "reading", "probe"} {
				if said := b.hear(); said[want] == nil {
					t.Fatalf("got %v, want %s", said, want)
				}
			}
			said, _ = b.say(`{"value":1}`)
			if said["reading"] != 3.0 {
				t.Errorf("it goes on with %v", said)
			}
			got := stored(t, elsewhere)
			if len(got) != 3 || !strings.HasSuffix(got[0], " 0.25") || !strings.HasSuffix(got[1], " 0.75") || !strings.HasSuffix(got[2], " 1") {
				t.Errorf("saved elsewhere are %v (the first probe was %v)", got, probe)
			}
		})
	}
}

// Put back, the file takes what was kept with the next answer; undo drops what
// was kept and not stored.
func TestStationWhoseFileIsPutBack(t *testing.T) {
	path := lampFile(t)
	b := sitDown(t, path, "verify")
	b.hear()
	if err := os.Rename(path, path+".old"); err != nil {
		t.Fatal(err)
	}
	said, _ := b.say(`{"value":0.5}`)
	isKept(t, said, "moved, renamed or deleted")
	if said, _ := b.say(`{"undo":true}`); !strings.Contains(said["message"].(string), "was not stored, and is dropped") {
		t.Errorf("got %v", said)
	}
	said, _ = b.say(`{"value":0.25}`)
	isKept(t, said, "moved, renamed or deleted")
	if err := os.Rename(path+".old", path); err != nil {
		t.Fatal(err)
	}
	if said, _ := b.say(`{"value":0.25}`); said["reading"] != 1.0 {
		t.Errorf("got %v", said)
	}
	if got := stored(t, path); len(got) != 1 || !strings.HasSuffix(got[0], " 0.25") {
		t.Errorf("stored are %v", got)
	}
}

// What is kept when the sitting ends, and still cannot be stored, is named in the
// line that ends it.
func TestStationThatEndsWithAReadingKept(t *testing.T) {
	path := lampFile(t)
	b := sitDown(t, path, "verify")
	b.breaks = true
	b.hear()
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	said, _ := b.say(`{"value":0.5}`)
	isKept(t, said, "moved, renamed or deleted")
	if _, err := io.WriteString(b.in, `{"stop":true}`+"\n"); err != nil {
		t.Fatal(err)
	}
	code := <-b.code
	b.code <- code
	if code != ExitBad || b.broke == nil || !strings.Contains(b.broke.Error(), "1 reading is not stored: ") || !strings.Contains(b.broke.Error(), ": 0.5") || !errors.Is(b.broke, store.ErrMoved) {
		t.Errorf("it ends with %d, %v", code, b.broke)
	}
}

// A backup that is copied over the file while the station has it open is no
// damage: the reading goes into what is there now.
func TestStationWhoseFileIsABackupNow(t *testing.T) {
	path := lampFile(t)
	backup, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	b := sitDown(t, path, "verify")
	b.hear()
	b.say(`{"value":0.25}`)
	if err := os.WriteFile(path, backup, 0o644); err != nil {
		t.Fatal(err)
	}
	if said, _ := b.say(`{"value":0.5}`); said["reading"] != 1.0 {
		t.Errorf("got %v", said)
	}
	if got := stored(t, path); len(got) != 1 || !strings.HasSuffix(got[0], " 0.5") {
		t.Errorf("stored are %v", got)
	}
	if left, err := filepath.Glob(path + "?*"); err != nil || len(left) > 0 {
		t.Errorf("beside it lie %v, %v", left, err)
	}
}

// A reading that came into the file, which was moved before that could be said,
// is stored once.
func TestStationStoresWhatIsKeptOnce(t *testing.T) {
	path := lampFile(t)
	file, err := openFile(t.Context(), path, store.ReadWrite, store.WithClock(clockAtNoon))
	if err != nil {
		t.Fatal(err)
	}
	s := newStationOver(file, faults.Diagnose(file.Snapshot()), nextprobe.Options{}, &Console{Out: io.Discard, Now: clockAtNoon})
	probe := *s.planner.Next().Probe
	reading := probe.Reading(model.Value{Kind: model.ShowsNumber, Number: 0.25})
	reading.Mode, reading.At = model.ModeOhms, noon
	if _, err := file.Log(reading); err != nil {
		t.Fatal(err)
	}
	s.kept = []keptReading{{reading: reading, probe: probe, failed: true}, {reading: reading, probe: probe}}
	if err := errors.Join(s.storeKept(t.Context()), file.Close()); err != nil {
		t.Fatal(err)
	}
	if got := stored(t, path); len(got) != 2 || len(s.sitting) != 2 {
		t.Errorf("stored are %v", got)
	}
}
