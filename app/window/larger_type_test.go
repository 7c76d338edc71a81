package window_test

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
)

// What is half typed goes on behind itself when the window is arranged anew: 12 and
// then 5 is never stored as 512.
func TestTypingGoesOnInLargerType(t *testing.T) {
	for name, press := range map[string]func(*hands){
		"larger type":      func(h *hands) { h.ctrl(fyne.KeyPlus) },
		"bench alone":      func(h *hands) { h.ctrl(fyne.KeyB) },
		"there and back":   func(h *hands) { h.press(fyne.KeyF1, fyne.KeyEscape) },
		"another place":    func(h *hands) { h.press(fyne.KeyF4); h.ctrl(fyne.KeyM) },
		"smaller and back": func(h *hands) { h.ctrl(fyne.KeyMinus); h.ctrl(fyne.KeyPlus) },
	} {
		h := sit(t, test.NewTempApp(t), basinFile(t), usual)
		h.ctrl(fyne.KeyM)
		h.write("12")
		press(h)
		h.canvas().Focused().TypedRune('5')
		if got := h.held(); got != "125" {
			t.Errorf("%s: 12 and then 5 reads %q", name, got)
		}
		h.window.Close()
	}
}
