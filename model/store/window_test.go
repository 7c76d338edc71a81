package store

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"bellout/model"
)

// picture is a small PNG of one grey; each shade is another picture.
func picture(shade uint8) []byte {
	dot := image.NewGray(image.Rect(0, 0, 3, 2))
	for i := range dot.Pix {
		dot.Pix[i] = shade
	}
	var out bytes.Buffer
	if err := png.Encode(&out, dot); err != nil {
		panic(err)
	}
	return out.Bytes()
}

// windowSteps is one edit of each kind that version 2 brought.
func windowSteps() []step {
	row := func(f *File, table model.Table) model.Row {
		for _, row := range f.machine.Sorted().Rows() {
			if row.Table() == table {
				return row
			}
		}
		return nil
	}
	drop := func(table model.Table) func(*File) error {
		return func(f *File) error {
			return f.Do(model.Edit{What: string(table) + " dropped", Changes: []model.Change{{Before: row(f, table)}}})
		}
	}
	photo := model.Photo{Device: "G1", Face: "wire side", Caption: "before the repair", At: noon.In(time.FixedZone("", 7200))}
	return []step{
		{"places", func(f *File) error {
			return f.Do(model.Edit{What: "placed", Changes: added(model.Place{Device: "G1", X: -3.25, Y: 1e6}, model.Place{Device: "E1", Pinned: true})})
		}},
		{"place dragged", func(f *File) error {
			before := f.machine.Row(model.TablePlace, "G1").(model.Place)
			after := before
			after.X, after.Y, after.Pinned = 0.1, 12, true
			return f.Do(model.Edit{What: "G1 moved", Changes: []model.Change{{Before: before, After: after}}})
		}},
		{"photo", func(f *File) error { _, err := f.AddPhoto(photo, picture(7)); return err }},
		{"caption", func(f *File) error {
			before := row(f, model.TablePhoto).(model.Photo)
			after := before
			after.Caption, after.Face, after.TurnDegrees, after.At = "after it", "", 270, time.Time{}
			return f.Do(model.Edit{What: "caption", Changes: []model.Change{{Before: before, After: after}}})
		}},
		{"same photo elsewhere", func(f *File) error { _, err := f.AddPhoto(model.Photo{Device: "E1"}, picture(7)); return err }},
		{"photo dropped", drop(model.TablePhoto)},
		{"template", func(f *File) error {
			return f.Do(model.Edit{What: "template", Changes: added(model.Template{Name: "gate driver, 2 outputs", Definition: "driver\nOUT1\nOUT2"})})
		}},
		{"template changed", func(f *File) error {
			before := row(f, model.TableTemplate)
			return f.Do(model.Edit{What: "template changed", Changes: []model.Change{{Before: before, After: model.Template{Name: before.ID(), Definition: "driver"}}}})
		}},
		{"template renamed", func(f *File) error {
			return f.Do(model.Edit{What: "template renamed", Changes: []model.Change{{Before: row(f, model.TableTemplate), After: model.Template{Name: "gates", Definition: "driver"}}}})
		}},
		{"template dropped", drop(model.TableTemplate)},
		{"place dropped", drop(model.TablePlace)},
		{"device dropped with place and photos", func(f *File) error {
			return f.Do(f.machine.DeleteDevices("G1"))
		}},
	}
}

// historySteps write what became of parts, and take it back.
func historySteps() []step {
	died := model.Event{Device: "E1", Word: model.EventFailed, At: noon.In(time.FixedZone("", 7200)), Note: "open, \n\"burnt\""}
	undated := model.Event{Device: "S1", Word: model.EventFailed}
	replaced := model.Event{Device: "E1", Word: model.EventReplaced, At: noon}
	return []step{
		{"history", func(f *File) error {
			return f.Do(model.Edit{What: "history", Changes: added(died, undated, replaced)})
		}},
		{"a death put right", func(f *File) error {
			after := died
			after.Note = "short"
			return f.Do(model.Edit{What: "note", Changes: []model.Change{{Before: died, After: after}}})
		}},
		{"a death in another zone", func(f *File) error {
			after := replaced
			after.At = noon.In(time.FixedZone("", 3600))
			return f.Do(model.Edit{What: "zone", Changes: []model.Change{{Before: replaced, After: after}}})
		}},
		{"a death dropped", func(f *File) error {
			return f.Do(model.Edit{What: "history", Changes: []model.Change{{Before: undated}}})
		}},
		{"a device deleted with its history", func(f *File) error { return f.Do(f.Machine().DeleteDevices("E1")) }},
		{"two deaths in one place", func(f *File) error {
			again := undated
			again.Note = "the second one"
			return f.Do(model.Edit{What: "history", Changes: added(undated, again)})
		}},
	}
}

// symptomSteps write what devices do, and take it back.
func symptomSteps() []step {
	dark := model.Symptom{At: noon.In(time.FixedZone("", 7200)), Device: "S1", Word: model.SymptomDead, Note: "since \"Monday\",\nhums"}
	works := model.Symptom{At: noon, Device: "S1", Word: model.SymptomWorks, When: "unplugged S1"}
	return []step{
		{"symptoms", func(f *File) error { return f.Do(model.Edit{What: "S1: dead", Changes: added(dark, works)}) }},
		{"a symptom struck", func(f *File) error {
			after := dark
			after.Struck = "it was the other one"
			return f.Do(model.Edit{What: "struck", Changes: []model.Change{{Before: dark, After: after}}})
		}},
		{"a symptom dropped", func(f *File) error {
			return f.Do(model.Edit{What: "dropped", Changes: []model.Change{{Before: works}}})
		}},
	}
}

// stepsOfVersion5 are the steps of files from before there were symptoms.
func stepsOfVersion5() []step { return slices.Concat(steps(), windowSteps(), historySteps()) }

// stepsOfVersion6 are the steps of files from before a wire could be joined.
func stepsOfVersion6() []step { return append(stepsOfVersion5(), symptomSteps()...) }

// stepsOfVersion7 are the steps of files from before a photo could have pins.
func stepsOfVersion7() []step {
	return append(stepsOfVersion6(), step{"a beep that joins", func(f *File) error {
		return f.Do(model.Edit{What: "joined", Changes: added(append(device("H90", "1", "2"),
			model.Wire{Name: "W90", From: ref("H90:1"), To: ref("H90:2"), Basis: model.BasisJoined})...)})
	}})
}

// allSteps is one edit of each kind that a person can make.
func allSteps() []step {
	return append(stepsOfVersion7(), step{"a photo with a pin", func(f *File) error {
		_, err := f.AddPhoto(model.Photo{Device: "H90", Pins: "1 312 420"}, picture(8))
		return err
	}}, step{"a pin more", func(f *File) error {
		before := f.machine.PhotosOf("H90")[0]
		after := before
		after.Pins = after.Pins.With(model.PhotoPin{Mark: "2", Across: 340, Down: 421})
		return f.Do(model.Edit{What: "2 pinned", Changes: []model.Change{{Before: before, After: after}}})
	}})
}

func TestPhotos(t *testing.T) {
	f, path := create(t)
	must(t, f.Do(small()))
	front, err := f.AddPhoto(model.Photo{Device: "S1", Face: "mating side", Caption: "S1", At: noon}, picture(1))
	must(t, err)
	if front.Width != 3 || front.Height != 2 || front.Format != model.PhotoPNG || front.SizeBytes != int64(len(picture(1))) {
		t.Errorf("the row is %+v", front)
	}
	var row *model.RowError
	if _, err := f.AddPhoto(model.Photo{Device: "S1"}, picture(1)); !errors.As(err, &row) {
		t.Errorf("the same picture twice: %v", err)
	}
	if _, err := f.AddPhoto(model.Photo{Device: "K9"}, picture(2)); !errors.As(err, &row) {
		t.Errorf("a photo of nothing: %v", err)
	}
	if _, err := f.PictureBytes(hashOf(picture(2))); !errors.Is(err, model.ErrPhoto) {
		t.Errorf("the bytes of a refused photo: %v", err)
	}
	if _, err := f.AddPhoto(model.Photo{Device: "S1"}, []byte("GIF89a")); !errors.Is(err, model.ErrPhoto) {
		t.Errorf("a picture of another kind: %v", err)
	}
	// A row alone, without bytes, stays out; with the bytes of another too.
	lone, err := model.InspectPhoto(picture(3))
	must(t, err)
	lone.Device = "S1"
	before := f.Machine().Clone()
	if err := f.Do(model.Edit{What: "photo", Changes: added(lone)}); !errors.Is(err, model.ErrPhoto) {
		t.Errorf("a photo without bytes: %v", err)
	}
	wrong := lone
	wrong.Width = 4
	if err := f.DoWithPictures(model.Edit{What: "photo", Changes: added(wrong)}, picture(3)); !errors.Is(err, model.ErrPhoto) {
		t.Errorf("a row that does not fit: %v", err)
	}
	same(t, f.Machine(), before, "after what was refused")
	must(t, f.DoWithPictures(model.Edit{What: "photo", Changes: added(lone)}, picture(3)))

	_, err = f.Undo()
	must(t, err)
	_, err = f.Undo()
	must(t, err)
	if list := f.Machine().PhotosOf("S1"); len(list) != 0 {
		t.Errorf("after undo S1 has %v", list)
	}
	_, err = f.Redo()
	must(t, err)
	check(t, f)
	must(t, f.Close())
	f = reopen(t, path, ReadOnly)
	if list := f.Machine().PhotosOf("S1"); len(list) != 1 || list[0] != front && !list[0].At.Equal(front.At) {
		t.Errorf("after redo and reopening S1 has %v", list)
	}
	if content, err := f.PictureBytes(front.Hash); err != nil || !bytes.Equal(content, picture(1)) {
		t.Errorf("the bytes came back as %d, %v", len(content), err)
	}
}

func TestADamagedPictureIsSeenWhenItIsRead(t *testing.T) {
	f, path := create(t)
	must(t, f.Do(small()))
	// Noise, so that it fills pages of its own.
	noise := image.NewGray(image.Rect(0, 0, 200, 200))
	for i := range noise.Pix {
		noise.Pix[i] = uint8(i * i >> 3 * 97)
	}
	var coded bytes.Buffer
	must(t, jpeg.Encode(&coded, noise, &jpeg.Options{Quality: 100}))
	photo, err := f.AddPhoto(model.Photo{Device: "G1"}, coded.Bytes())
	must(t, err)
	must(t, f.Close())
	content, err := os.ReadFile(path)
	must(t, err)
	at := bytes.Index(content, coded.Bytes()[5000:5200])
	if at < 0 {
		t.Fatal("the picture is not found in the file")
	}
	content[at+100] ^= 1
	must(t, os.WriteFile(path, content, 0o644))
	f = reopen(t, path, ReadOnly)
	if _, err := f.PictureBytes(photo.Hash); !errors.Is(err, ErrDamaged) {
		t.Errorf("got %v", err)
	}
}

// A picture is in the file once, however often it is pinned, and is carried
// into a backup.
func TestPicturesAreStoredOnce(t *testing.T) {
	f, _ := create(t)
	must(t, f.Do(small()))
	for _, device := range []string{"G1", "E1", "S1"} {
		_, err := f.AddPhoto(model.Photo{Device: device}, picture(9))
		must(t, err)
	}
	if count, err := f.c.number("SELECT count(*) FROM pictures"); err != nil || count != 1 {
		t.Errorf("%d pictures, %v", count, err)
	}
	to := filepath.Join(t.TempDir(), "backup.bellout")
	must(t, f.Backup(context.Background(), to, nil))
	if content, err := reopen(t, to, ReadOnly).PictureBytes(hashOf(picture(9))); err != nil || len(content) == 0 {
		t.Error(err)
	}
}

// The pages of the rows are looked at in a file that is large by its pictures.
func TestALargeFileIsStillLookedAt(t *testing.T) {
	f, _ := create(t)
	must(t, f.Do(small()))
	_, err := f.AddPhoto(model.Photo{Device: "G1"}, picture(9))
	must(t, err)
	checks, err := soundChecks(f.c)
	must(t, err)
	if len(checks) != 1 {
		t.Errorf("of a small file: %v", checks)
	}
	must(t, f.c.script("CREATE TABLE ballast (b BLOB) STRICT; INSERT INTO ballast VALUES (zeroblob(70000000))"))
	if checks, err = soundChecks(f.c); err != nil || len(checks) < 10 {
		t.Errorf("of a large file: %v, %v", checks, err)
	}
	must(t, sound(f.c, f.path))
}

func TestCautions(t *testing.T) {
	f, path := create(t)
	if list, err := f.Cautions(); err != nil || list == nil || len(list) != 0 {
		t.Errorf("of a new file: %v, %v", list, err)
	}
	must(t, f.Do(small()))
	must(t, f.NoteCaution(noon, "first"))
	must(t, f.NoteCaution(noon.Add(time.Hour).In(time.FixedZone("", 3600)), ""))
	_, err := f.Undo()
	must(t, err)
	must(t, f.Close())
	f = reopen(t, path, ReadOnly)
	list, err := f.Cautions()
	if err != nil || len(list) != 2 || !list[0].At.Equal(noon) || list[0].Session != "first" || !list[1].At.Equal(noon.Add(time.Hour)) {
		t.Errorf("got %+v, %v", list, err)
	}
	if err := f.NoteCaution(noon, ""); !errors.Is(err, ErrReadOnly) {
		t.Errorf("into a file opened for reading: %v", err)
	}
	if rows, err := f.Journal(0); err != nil || len(rows) != 1 {
		t.Errorf("the journal: %v, %v", rows, err)
	}
}
