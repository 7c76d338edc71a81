package window_test

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bellout/app/window/look"
)

// TestRedoWorksOnTheEmptyPage: whoever took the whole import back gets it again,
// whatever had the keyboard before and whatever was half typed in it.
func TestRedoWorksOnTheEmptyPage(t *testing.T) {
	for name, before := range map[string]func(*hands){
		"from the bench":            func(h *hands) {},
		"with something half typed": func(h *hands) { h.write("12.5"); h.press(fyne.KeyBackspace) },
		"from the chart":            func(h *hands) { h.press(fyne.KeyF2) },
		"from parts":                func(h *hands) { h.press(fyne.KeyF4) },
		"from the bench alone":      func(h *hands) { h.ctrl(fyne.KeyB) },
	} {
		t.Run(name, func(t *testing.T) {
			h := sit(t, test.NewTempApp(t), basinFile(t), usual)
			defer h.window.Close()
			devices := len(h.desk.Machine().Devices)
			before(h)
			h.desk.Undo()
			h.desk.Undo() // what is large is asked about
			if got := len(h.desk.Machine().Devices); got != 0 {
				t.Fatalf("%d devices after undo", got)
			}
			if text := h.texts(); strings.Contains(text, "New machine") && !strings.Contains(text, "Make again") {
				t.Error("the empty page does not say that the machine can come back")
			}
			h.ctrl(fyne.KeyY)
			if got := len(h.desk.Machine().Devices); got != devices {
				t.Errorf("Ctrl Y: %d devices, want %d; said %q", got, devices, h.desk.Notice().Text)
			}
			if h.canvas().Focused() == nil {
				t.Error("nothing has the keyboard after the machine is back")
			}
		})
	}
}

// TestLargerTypeOnEveryKeyboard: plus is a key of its own on some, the shifted = on
// others, and on the number pad; the toolkit names what the key bears.
func TestLargerTypeOnEveryKeyboard(t *testing.T) {
	for name, press := range map[string]func(*hands){
		"a key that bears +, and the number pad": func(h *hands) { h.ctrl(fyne.KeyPlus) },
		"a key that bears + above":               func(h *hands) { h.ctrl(fyne.KeyEqual, fyne.KeyModifierShift) },
		"= without Shift":                        func(h *hands) { h.ctrl(fyne.KeyEqual) },
		"+ on 1, as on Swiss ones":               func(h *hands) { h.ctrl(fyne.Key1, fyne.KeyModifierShift) },
		"+ with Shift held":                      func(h *hands) { h.ctrl(fyne.KeyPlus, fyne.KeyModifierShift) },
	} {
		for from, focus := range map[string]func(*hands){"in a field": func(h *hands) {}, "on the chart": func(h *hands) { h.press(fyne.KeyF2) }, "nowhere": func(h *hands) { h.canvas().Unfocus() }} {
			h := sit(t, test.NewTempApp(t), basinFile(t), usual)
			before := look.Now().TextSize
			focus(h)
			if press(h); look.Now().TextSize <= before {
				t.Errorf("%s, %s: the type is as large as before", name, from)
			}
			h.ctrl(fyne.KeyMinus)
			if look.Now().TextSize != before {
				t.Errorf("%s, %s: Ctrl - does not bring it back", name, from)
			}
			h.window.Close()
		}
	}
}
