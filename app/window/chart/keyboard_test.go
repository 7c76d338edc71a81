package chart

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
	"bellout/app/window/keys"
)

func TestArrowsPanWithNothingSelected(t *testing.T) {
	h := open(t, demoDesk(t), false, 900, 600)
	for name, want := range map[fyne.KeyName][2]float64{fyne.KeyLeft: {stride, 0}, fyne.KeyRight: {-stride, 0}, fyne.KeyUp: {0, stride}, fyne.KeyDown: {0, -stride}} {
		camera := h.keep.camera.Panned(want[0], want[1])
		h.press(name)
		if h.keep.camera != camera {
			t.Errorf("%s leads to %v, want %v", name, h.keep.camera, camera)
		}
	}
}

func TestPlusAndMinusZoom(t *testing.T) {
	h := open(t, demoDesk(t), false, 900, 600)
	scale := h.keep.camera.Scale
	h.sheet.TypedRune('+')
	if h.keep.camera.Scale <= scale {
		t.Error("+ does not come nearer")
	}
	h.sheet.TypedRune('-')
	h.sheet.TypedRune('-')
	if h.keep.camera.Scale >= scale {
		t.Error("- does not go away")
	}
	h.room.Keys.Press(keys.Ctrl(fyne.Key0))
	if h.keep.camera.Scale != scale {
		t.Errorf("all of it is shown at %v, want %v", h.keep.camera.Scale, scale)
	}
}

// TestProbingFromTheKeyboard goes from a device to a terminal, puts the red tip
// there, follows the wire and puts the black one at its other end.
func TestProbingFromTheKeyboard(t *testing.T) {
	h := open(t, demoDesk(t), false, 900, 600)
	h.found(session.Selection{Kind: session.Device, Name: "Y8"})
	h.press(fyne.KeyReturn)
	first := h.desk.Selection()
	if first.Kind != session.Terminal || first.Name[:3] != "Y8:" {
		t.Fatalf("Enter on Y8 leads to %+v, want a terminal of it", first)
	}
	h.press(fyne.KeyReturn)
	if got := h.desk.Tip(session.Red).String(); got != first.Name {
		t.Errorf("Enter put the red tip on %q, want %s", got, first.Name)
	}
	h.press(fyne.KeyLeft) // Y8 is a load: its wires come from the left
	second := h.desk.Selection()
	joined := false
	for _, wire := range h.desk.Machine().Wires {
		a, b := wire.From.String(), wire.To.String()
		joined = joined || a == first.Name && b == second.Name || b == first.Name && a == second.Name
	}
	if !joined {
		t.Fatalf("left of %s leads to %s, which no wire joins with it", first.Name, second.Name)
	}
	h.sheet.KeyDown(&fyne.KeyEvent{Name: desktop.KeyShiftLeft})
	h.press(fyne.KeyReturn)
	h.sheet.KeyUp(&fyne.KeyEvent{Name: desktop.KeyShiftLeft})
	if got := h.desk.Tip(session.Black).String(); got != second.Name {
		t.Errorf("Shift Enter put the black tip on %q, want %s", got, second.Name)
	}
	if got := h.desk.Tip(session.Red).String(); got != first.Name {
		t.Errorf("the red tip went to %q", got)
	}
}

func TestTabWalksAndEscapeLetsItLeave(t *testing.T) {
	h := open(t, demoDesk(t), false, 900, 600)
	if h.sheet.AcceptsTab() {
		t.Error("with nothing selected Tab should lead on to the next field")
	}
	h.press(fyne.KeyReturn) // what is in the middle
	first := h.desk.Selection()
	if first.Kind != session.Device || !h.sheet.AcceptsTab() {
		t.Fatalf("Enter selects %+v", first)
	}
	seen := map[string]bool{}
	for range h.desk.Machine().Devices {
		h.press(fyne.KeyTab)
		seen[h.desk.Selection().Name] = true
	}
	if len(seen) != len(h.desk.Machine().Devices) || h.desk.Selection() != first {
		t.Errorf("Tab led to %d of %d devices and ended at %s", len(seen), len(h.desk.Machine().Devices), h.desk.Selection().Name)
	}
	h.press(fyne.KeyEscape)
	if h.desk.Selection().Kind != session.Nothing {
		t.Error("Escape does not end the selection")
	}
}

func TestKeysThatTheSheetDoesNotKnowGoToTheList(t *testing.T) {
	h := open(t, demoDesk(t), false, 900, 600)
	done := false
	h.room.Keys.Add(keys.Action{Name: "Test", Key: keys.Plain(fyne.KeyF9), Do: func() { done = true }})
	h.press(fyne.KeyF9)
	if !done {
		t.Error("F9 did nothing")
	}
}

func TestFindGoesFromMatchToMatch(t *testing.T) {
	h := open(t, demoDesk(t), false, 900, 600)
	h.room.Keys.Press(keys.Ctrl(fyne.KeyF))
	test.Type(h.finder.entry, "camera")
	if len(h.finder.matches) == 0 || h.finder.matches[0].Name != "B7" {
		t.Fatalf("camera finds %+v, want the gate camera B7", h.finder.matches)
	}
	if h.desk.Selection().Kind != session.Nothing {
		t.Error("typing alone selects")
	}
	h.press(fyne.KeyReturn)
	if h.desk.Selection().Name != "B7" {
		t.Errorf("Enter selects %+v", h.desk.Selection())
	}
	at := h.at(t, session.Selection{Kind: session.Device, Name: "B7"})
	w, hgt := h.sheet.extent()
	if float64(at.X) < w/3 || float64(at.X) > 2*w/3 || float64(at.Y) < hgt/3 || float64(at.Y) > 2*hgt/3 {
		t.Errorf("it stands at %v of %v by %v, want the middle", at, w, hgt)
	}
	h.finder.entry.SetText("fuse")
	h.press(fyne.KeyReturn)
	one := h.desk.Selection()
	h.press(fyne.KeyReturn)
	two := h.desk.Selection()
	h.press(fyne.KeyUp)
	if one == two || h.desk.Selection() != one {
		t.Errorf("Enter, Enter, Up: %v, %v, %v", one.Name, two.Name, h.desk.Selection().Name)
	}
	h.press(fyne.KeyEscape)
	if h.finder.object.Visible() || h.window.Canvas().Focused() != h.sheet {
		t.Error("Escape should put the field away and give the keys back to the sheet")
	}
}

func TestAFailedDeviceShowsItsPaths(t *testing.T) {
	h := open(t, demoDesk(t), false, 900, 600)
	h.desk.Select(session.Selection{Kind: session.Device, Name: "A2"})
	for _, kind := range []string{"feed", "return", "mains", "signal"} {
		found := false
		for _, strand := range h.paths.Strands {
			found = found || strand.Kind == kind
		}
		if !found {
			t.Errorf("no %s path of A2 is brought out", kind)
		}
	}
	h.desk.SetHighlight(session.Highlight{What: "the way of a probe", Strands: []session.Strand{{Wires: []string{"W1"}}}})
	if got := h.lit.Kinds[0]; got != 1 {
		t.Errorf("%d wires stand out, want the one that another place asked for", got)
	}
	h.desk.Select(session.Selection{Kind: session.Device, Name: "A1"})
	if len(h.paths.Strands) != 0 {
		t.Error("A1 works: its paths should not be brought out")
	}
}

func TestWhatWasLookedAtOutlivesTheTheme(t *testing.T) {
	h := open(t, demoDesk(t), false, 900, 600)
	h.found(session.Selection{Kind: session.Device, Name: "A2"})
	camera, plan := h.keep.camera, h.keep.plan
	h.make(t, true, 900, 600)
	if h.keep.camera != camera || h.scene == nil || h.scene.Plan != plan {
		t.Errorf("after a change of the theme one looks at %v, before at %v", h.keep.camera, camera)
	}
}
