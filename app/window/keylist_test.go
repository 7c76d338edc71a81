package window_test

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
	"bellout/model"
)

// Every word and every key of the list lies inside the window, in every size of
// type.
func TestTheListOfKeysRunsIntoNoBorder(t *testing.T) {
	for _, larger := range []int{0, 1, 2} {
		h := sit(t, test.NewTempApp(t), basinFile(t), small)
		for range larger {
			h.window.Press("Ctrl +")
		}
		h.window.Press("F1")
		seen := 0
		var walk func(object fyne.CanvasObject, at fyne.Position)
		walk = func(object fyne.CanvasObject, at fyne.Position) {
			if !object.Visible() {
				return
			}
			at = at.Add(object.Position())
			switch o := object.(type) {
			case *canvas.Text:
				seen++
				if right := at.X + o.MinSize().Width; right > small.Width-30 {
					t.Errorf("type %d: %q ends at %.0f of %.0f", larger, o.Text, right, small.Width)
				}
			case *fyne.Container:
				for _, inside := range o.Objects {
					walk(inside, at)
				}
			case fyne.Widget:
				for _, inside := range test.WidgetRenderer(o).Objects() {
					walk(inside, at)
				}
			}
		}
		walk(h.canvas().Content().(*fyne.Container).Objects[1].(*fyne.Container).Objects[1], fyne.Position{}) // below the alarm, over the work
		if seen < 60 {
			t.Errorf("type %d: %d texts are seen", larger, seen)
		}
		h.window.Close()
	}
}

func TestNextFindingGoesThroughFindingsInTheOrderOfTheList(t *testing.T) {
	h := sit(t, test.NewTempApp(t), demoFile(t), small)
	defer h.window.Close()
	h.desk.SetHealth("A2", model.HealthFailed, noon)
	h.press(fyne.KeyF3)
	findings := h.desk.View().Report.Findings
	if len(findings) < 3 {
		t.Fatalf("%d findings", len(findings))
	}
	for at := range 3 {
		if at > 0 {
			h.ctrl(fyne.KeyDown)
		}
		if got := h.desk.Selection(); got != (session.Selection{Kind: session.Finding, Finding: at}) {
			t.Errorf("step %d looks at %+v", at, got)
		}
	}
	h.ctrl(fyne.KeyUp)
	h.ctrl(fyne.KeyUp)
	h.ctrl(fyne.KeyUp)
	if got := h.desk.Selection(); got.Kind != session.Finding || got.Finding != len(findings)-1 {
		t.Errorf("before the first comes %+v", got)
	}
	h.ctrl(fyne.KeyI, fyne.KeyModifierShift)
	if got := h.desk.Selection(); got.Kind != session.Device {
		t.Errorf("the next failed device is %+v", got)
	}
}

func TestEachWayToBeginHasItsKey(t *testing.T) {
	for _, c := range []struct {
		key   fyne.KeyName
		with  fyne.KeyModifier
		cap   string
		after string
	}{
		{fyne.KeyS, fyne.KeyModifierShift, "Ctrl Shift S", "G1 supply"},
		{fyne.KeyT, 0, "Ctrl T", "Read a folder of CSV files"},
		{fyne.KeyX, fyne.KeyModifierShift, "Ctrl Shift X", "J1 plug"},
	} {
		h := sit(t, test.NewTempApp(t), emptyFile(t), small)
		if !strings.Contains(h.texts(), "\n"+c.cap+"\n") {
			t.Errorf("no cap says %s", c.cap)
		}
		h.ctrl(c.key, c.with)
		if !strings.Contains(h.texts(), c.after) {
			t.Errorf("%s: the window says %q", c.cap, h.texts())
		}
		h.window.Close()
	}
}
