package tables

import (
	"context"
	"encoding/binary"
	"errors"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"

	"bellout/model"
	"bellout/model/atomicfile"
	"bellout/model/sample"
)

func TestFoldersThatCannotBeRead(t *testing.T) {
	root := t.TempDir()
	writeFiles(t, root, map[string]string{"file": "x"})
	empty, odd := filepath.Join(root, "empty"), filepath.Join(root, "odd")
	for _, dir := range []string{empty, filepath.Join(odd, "wires.csv")} {
		if err := os.MkdirAll(dir, 0o777); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct{ name, dir, want string }{
		{"not there", filepath.Join(root, "none"), ": there is no such folder or file; look at the path"},
		{"a file", filepath.Join(root, "file"), ": it is a file, not a folder; name the folder that holds devices.csv and terminals.csv"},
		{"empty", empty, ": the folder holds no table; put devices.csv and terminals.csv there, or name another folder"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ReadFolder(context.Background(), c.dir, nil)
			if err == nil || err.Error() != c.dir+c.want {
				t.Errorf("got %v, want %s", err, c.dir+c.want)
			}
		})
	}
	if _, err := ReadFolder(context.Background(), odd, nil); err == nil || err.Error() != "wires.csv: it is no plain file; put the table there, or rename it" {
		t.Errorf("a folder in a table's place: %v", err)
	}
}

func TestOtherFilesAreLeftAlone(t *testing.T) {
	dir := t.TempDir()
	writeFiles(t, dir, sound)
	writeFiles(t, dir, map[string]string{"notes.txt": "a", "._wires.csv": "\x00", ".~lock.wires.csv#": "b", "photo.jpg": "\xff"})
	m := imported(t, dir)
	if err := WriteFolder(context.Background(), m, dir, true); err != nil {
		t.Fatal(err)
	}
	files := folderBytes(t, dir)
	if files["notes.txt"] != "a" || files["._wires.csv"] != "\x00" || files["photo.jpg"] != "\xff" {
		t.Errorf("other files were changed: %q", files)
	}
	for name := range files {
		if strings.HasSuffix(name, ".part") {
			t.Errorf("%s was left behind", name)
		}
	}
}

func TestNewMachineNeedsDevicesAndTerminals(t *testing.T) {
	for _, file := range []string{"devices.csv", "terminals.csv"} {
		dir := damaged(t, file, "")
		want := file + ": the file is missing in " + dir + "; a new machine needs devices.csv and terminals.csv"
		if err := importInto(model.NewMachine(), dir); err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}

func TestPartOfTheTablesIntoAMachineThatIsThere(t *testing.T) {
	dir := t.TempDir()
	writeFiles(t, dir, sound)
	m := imported(t, dir)
	part := t.TempDir()
	writeFiles(t, part, map[string]string{"wires.csv": "wire,from,to,length_m\nW2,S1:2,K3:A1,2\nW3,K3:A2,G1:-,1\n"})
	if err := importInto(m, part); err != nil {
		t.Fatal(err)
	}
	if w, _ := m.Wire("W2"); len(m.Wires) != 3 || w.LengthMetres != model.Known(2) || w.Colour != "RD" {
		t.Errorf("W2 has another length than was read or lost its colour, or W1 and W3 are not there: %v", m.Wires)
	}
}

func TestReadingsAreAddedUnlessTheyAreThere(t *testing.T) {
	const head = "at,red,black,mode,value,note,struck\n"
	const beep = ",G1:+,S1:1,continuity,beep,,\n"
	const struck = ",G1:+,S1:1,continuity,beep,,wrong plug\n"
	const undone = ",G1:+,S1:1,continuity,beep,,undone\n"
	const other = ",G1:+,S1:2,ohms,0.3,,\n"
	for _, c := range []struct {
		name, held, file string
		count, standing  int
	}{
		{"the same row", beep, beep, 1, 1},
		{"another row", beep, other, 2, 2},
		{"twice in the file", beep, beep + beep, 2, 2},
		{"twice in both", beep + beep, beep + beep, 2, 2},
		{"twice in the machine", beep + beep, beep, 2, 2},
		{"struck out in the file", beep + other, struck, 2, 1},
		{"struck out in the machine", struck, beep, 1, 0},
		{"struck out and standing in both, other way round", beep + struck, struck + beep, 2, 1},
		{"struck out in both", struck, struck, 1, 0},
		{"one of two struck out in the file", beep + beep, beep + struck, 2, 1},
		{"taken back by an undo", undone, beep, 2, 1},
		{"taken back by an undo, in both", undone, undone, 1, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := model.NewMachine()
			if err := importInto(m, damaged(t, "readings.csv", head+c.held)); err != nil {
				t.Fatal(err)
			}
			if err := importInto(m, damaged(t, "readings.csv", head+c.file)); err != nil {
				t.Fatal(err)
			}
			standing := 0
			for _, r := range m.Readings {
				if r.Stands() {
					standing++
				}
			}
			if len(m.Readings) != c.count || standing != c.standing {
				t.Errorf("%d readings, %d of them stand; want %d and %d", len(m.Readings), standing, c.count, c.standing)
			}
		})
	}
}

func TestReadingsAreNumberedInFileOrder(t *testing.T) {
	const head = "red,black,value\n"
	m := model.NewMachine()
	for _, file := range []string{"G1:+,S1:1,3\nG1:+,S1:1,1\n", "G1:+,S1:1,2\nG1:+,S1:1,1\nG1:+,S1:1,0.5\n"} {
		if err := importInto(m, damaged(t, "readings.csv", head+file)); err != nil {
			t.Fatal(err)
		}
	}
	for number, want := range map[int64]float64{1: 3, 2: 1, 3: 2, 4: 0.5} {
		if r, found := m.Reading(number); !found || r.Value.Number != want || r.Mode != model.ModeOhms {
			t.Errorf("reading %d is %+v, want %g", number, r, want)
		}
	}
}

func TestConditionsMayNameWhatTheFolderBrings(t *testing.T) {
	dir := t.TempDir()
	writeFiles(t, dir, sound)
	m := imported(t, dir)
	more := t.TempDir()
	writeFiles(t, more, map[string]string{
		"devices.csv":   "device\nJ4\n",
		"terminals.csv": "device,terminal\nJ4,a-1\nJ4,b\n",
		"links.csv":     "device,from,to,kind\nJ4,a-1,b,solid\n",
		"readings.csv":  "red,black,value,conditions\nJ4:b,G1:+,silent,lifted W1; open J4:b-a-1;clipped S1:2 S1:1\n",
	})
	if err := importInto(m, more); err != nil {
		t.Fatal(err)
	}
	r, found := m.Reading(2)
	if want := "clipped S1:1 S1:2; lifted W1; open J4:a-1-b"; !found || r.Conditions.String() != want {
		t.Errorf("got %q (found %v), want %q", r.Conditions, found, want)
	}
}

func TestLocateNamesTheRowThatTheMachineRefuses(t *testing.T) {
	dir := t.TempDir()
	writeFiles(t, dir, sound)
	m := imported(t, dir)
	writeFiles(t, dir, map[string]string{"wires.csv": sound["wires.csv"] + "W3,K3:A2,G1:-,,,1\n", "devices.csv": "device,title\nG1,\nS1,\nK3,\n"})
	content, err := ReadFolder(context.Background(), dir, nil)
	if err != nil {
		t.Fatal(err)
	}
	edit, err := content.EditFor(m)
	if err != nil {
		t.Fatal(err)
	}
	held, _ := m.Device("G1")
	meanwhile := held
	meanwhile.Title = "changed meanwhile"
	if err := m.Apply(model.Edit{Changes: []model.Change{{Before: held, After: meanwhile}}}); err != nil {
		t.Fatal(err)
	}
	err = content.Locate(m.Apply(edit))
	const want = "devices.csv line 2: device G1 was changed while it was imported; import the folder again"
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
	if !errors.Is(err, model.ErrOutdated) {
		t.Errorf("the cause is lost: %v", err)
	}
}

func TestProgressCountsEveryByteAndRow(t *testing.T) {
	dir := t.TempDir()
	m := sample.Machine(1, 20000)
	if err := WriteFolder(context.Background(), m, dir, true); err != nil {
		t.Fatal(err)
	}
	var last Progress
	calls := 0
	_, err := ReadFolder(context.Background(), dir, func(p Progress) {
		if p.Bytes < last.Bytes || p.Rows < last.Rows || p.Bytes > p.Total {
			t.Errorf("progress runs backwards or past its end: %+v after %+v", p, last)
		}
		last = p
		calls++
	})
	if err != nil {
		t.Fatal(err)
	}
	if rows := len(m.Rows()); last.Bytes != last.Total || last.Total == 0 || last.Rows != rows || calls < 10 {
		t.Errorf("ended at %+v after %d calls; want %d rows", last, calls, rows)
	}
}

func TestReadingStopsWithItsContext(t *testing.T) {
	dir := t.TempDir()
	if err := WriteFolder(context.Background(), sample.Machine(1, 20000), dir, true); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	_, err := ReadFolder(ctx, dir, func(p Progress) {
		if p.File == "terminals.csv" && p.Rows > 0 {
			stop()
		}
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want a cancelled read", err)
	}
}

func TestReadersThatBreak(t *testing.T) {
	for name, text := range sound {
		for _, table := range Tables {
			if table.File() != name {
				continue
			}
			content := &Content{}
			if err := content.ReadCSV(context.Background(), table, iotest.OneByteReader(strings.NewReader(text))); err != nil {
				t.Errorf("%s byte by byte: %v", name, err)
			}
			broken := iotest.TimeoutReader(iotest.HalfReader(strings.NewReader(text)))
			err := (&Content{}).ReadCSV(context.Background(), table, broken)
			var located *Error
			if !errors.As(err, &located) || !errors.Is(err, iotest.ErrTimeout) {
				t.Errorf("%s from a reader that breaks: %v", name, err)
			}
		}
	}
}

func TestTableThatBecameEmptyKeepsItsHeader(t *testing.T) {
	dir := t.TempDir()
	writeFiles(t, dir, sound)
	m := imported(t, dir)
	m = without(t, m)
	if err := WriteFolder(context.Background(), m, dir, true); err != nil {
		t.Fatal(err)
	}
	if got := folderBytes(t, dir)["bonds.csv"]; got != "from,to,reason\n" {
		t.Errorf("bonds.csv holds %q", got)
	}
	fresh := filepath.Join(t.TempDir(), "a", "b")
	if err := WriteFolder(context.Background(), m, fresh, true); err != nil {
		t.Fatal(err)
	}
	if _, there := folderBytes(t, fresh)["bonds.csv"]; there {
		t.Error("an empty bonds.csv was written into a new folder")
	}
	if !imported(t, dir).Equal(m) || !imported(t, fresh).Equal(m) {
		t.Error("the machine without bonds does not come back")
	}
}

// without takes the bonds out.
func without(t *testing.T, m *model.Machine) *model.Machine {
	t.Helper()
	edit := model.Edit{}
	for _, bond := range m.Bonds {
		edit.Changes = append(edit.Changes, model.Change{Before: bond})
	}
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	return m
}

// What cannot be written leaves every file as it was: where one place is taken
// by a folder, a link or a project, and where nobody said that files may be
// replaced.
func TestWriteLeavesTheOldFilesWhereItFails(t *testing.T) {
	for name, take := range map[string]func(path string) error{
		"a folder":  func(path string) error { return os.Mkdir(path, 0o777) },
		"a link":    func(path string) error { return os.Symlink("devices.csv", path) },
		"a project": func(path string) error { return os.WriteFile(path, aProject(), 0o666) },
		"a file":    func(path string) error { return os.WriteFile(path, []byte("mine"), 0o666) },
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			writeFiles(t, dir, sound)
			m := imported(t, dir)
			place := filepath.Join(dir, "readings.csv")
			if err := errors.Join(os.Remove(place), take(place)); err != nil {
				t.Fatal(err)
			}
			before, err := os.Lstat(place)
			if err != nil {
				t.Fatal(err)
			}
			if err := WriteFolder(context.Background(), m, dir, name != "a file"); err == nil || strings.Contains(err.Error(), "\n") {
				t.Errorf("got %v", err)
			}
			if after, err := os.Lstat(place); err != nil || !os.SameFile(before, after) {
				t.Errorf("readings.csv was replaced (%v)", err)
			}
			if err := os.Remove(place); err != nil {
				t.Fatal(err)
			}
			want := maps.Clone(sound)
			delete(want, "readings.csv")
			compareFiles(t, folderBytes(t, dir), want)
		})
	}
	dir := t.TempDir()
	writeFiles(t, dir, sound)
	file := filepath.Join(dir, "devices.csv")
	want := file + ": it is a file, not a folder; name another folder"
	if err := WriteFolder(context.Background(), imported(t, dir), file, true); err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

// aProject is the header of a project file.
func aProject() []byte {
	header := make([]byte, 100)
	copy(header, "SQLite format 3\x00")
	binary.BigEndian.PutUint32(header[68:], atomicfile.ApplicationID)
	return header
}

// A name that another file's draft could be guessed to have leads nowhere: no
// table is written through a link that waits there.
func TestNoTableIsWrittenThroughALinkThatWaits(t *testing.T) {
	dir := t.TempDir()
	writeFiles(t, dir, sound)
	m := imported(t, dir)
	foreign := filepath.Join(t.TempDir(), "letter.txt")
	writeFiles(t, filepath.Dir(foreign), map[string]string{"letter.txt": "dear"})
	for _, name := range FileNames() {
		if err := os.Symlink(foreign, filepath.Join(dir, "."+name+".part")); err != nil {
			t.Fatal(err)
		}
	}
	if err := WriteFolder(context.Background(), m, dir, true); err != nil {
		t.Fatal(err)
	}
	if text, err := os.ReadFile(foreign); err != nil || string(text) != "dear" {
		t.Errorf("the foreign file holds %q, %v", text, err)
	}
}
