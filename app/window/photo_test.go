package window_test

import (
	"image"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
	"bellout/model"
)

func photoFile(t *testing.T, name string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	file, err := os.Create(path)
	if err == nil {
		err = png.Encode(file, image.NewGray(image.Rect(0, 0, 200, 100)))
	}
	if err == nil {
		err = file.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// onPhoto returns the only photo that is shown, as what a click meets.
func (h *hands) onPhoto() (photo fyne.Tappable) {
	h.t.Helper()
	h.walk(func(object fyne.CanvasObject) {
		tappable, is := object.(fyne.Tappable)
		if !is {
			return
		}
		w, is := object.(fyne.Widget)
		if !is {
			return
		}
		if objects := test.WidgetRenderer(w).Objects(); len(objects) > 0 {
			if _, picture := objects[0].(*canvas.Image); picture && objects[0].Size() == object.Size() && object.Size().Width > 100 {
				photo = tappable
			}
		}
	})
	if photo == nil {
		h.t.Fatal("no photo is shown")
	}
	return photo
}

// TestAPhotoIsDroppedAndPinned: dropped on the window it is the selected device's; a
// click pins the terminal that is looked at, a click on a pin looks at it, one edit
// back it is gone.
func TestAPhotoIsDroppedAndPinned(t *testing.T) {
	h := sit(t, test.NewTempApp(t), basinFile(t), usual)
	defer h.window.Close()
	photos := func() []model.Photo { return h.desk.Machine().PhotosOf("G1") }
	h.window.Drop([]string{photoFile(t, "front.PNG")})
	if len(photos()) != 0 || !strings.Contains(h.texts(), "Click the device that the photo shows") {
		t.Fatal("a photo of nothing was taken")
	}
	h.desk.Select(session.Selection{Kind: session.Device, Name: "G1"})
	h.window.Drop([]string{photoFile(t, "notes.txt")})
	if len(photos()) != 0 || !strings.Contains(h.texts(), "Drop a .bellout file") {
		t.Fatal("a text was taken for a photo")
	}
	h.window.Drop([]string{photoFile(t, "front.png")})
	if len(photos()) != 1 || photos()[0].Pins != "" {
		t.Fatalf("%+v", photos())
	}
	object := h.onPhoto()
	size := object.(fyne.Widget).Size()
	if ratio := size.Width / size.Height; ratio < 1.98 || ratio > 2.02 {
		t.Errorf("a photo of 200 by 100 is shown %v", size)
	}
	object.Tapped(&fyne.PointEvent{Position: fyne.NewPos(10, 10)}) // no terminal is looked at
	if photos()[0].Pins != "" {
		t.Errorf("pinned %q", photos()[0].Pins)
	}
	h.desk.Select(session.Selection{Kind: session.Terminal, Name: "G1:+"})
	h.onPhoto().Tapped(&fyne.PointEvent{Position: fyne.NewPos(size.Width/2, size.Height/4)})
	if photos()[0].Pins != "+ 500 250" {
		t.Fatalf("pinned %q", photos()[0].Pins)
	}
	h.desk.Select(session.Selection{Kind: session.Device, Name: "G1"})
	h.onPhoto().Tapped(&fyne.PointEvent{Position: fyne.NewPos(size.Width/2+5, size.Height/4)})
	if at := h.desk.Selection(); at != (session.Selection{Kind: session.Terminal, Name: "G1:+"}) {
		t.Errorf("a click on a pin looks at %+v", at)
	}
	h.tap("Remove pin")
	if photos()[0].Pins != "" {
		t.Errorf("left %q", photos()[0].Pins)
	}
	if h.desk.Undo(); photos()[0].Pins != "+ 500 250" {
		t.Errorf("one edit back: %q", photos()[0].Pins)
	}
	if h.desk.Undo(); photos()[0].Pins != "" {
		t.Errorf("two edits back: %q", photos()[0].Pins)
	}
}
