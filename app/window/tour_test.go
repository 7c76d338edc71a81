package window_test

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
)

func (h *hands) step() string {
	for _, line := range strings.Split(h.texts(), "\n") {
		if strings.HasSuffix(line, " of 5") {
			return line
		}
	}
	return ""
}

// TestTheTourEndsByDoing: each of its steps ends when it was done, and only then.
func TestTheTourEndsByDoing(t *testing.T) {
	h := sit(t, test.NewTempApp(t), basinFile(t), usual)
	defer h.window.Close()
	if h.step() != "" {
		t.Fatal("a tour that nobody asked for")
	}
	h.ctrl(fyne.KeyF1, fyne.KeyModifierShift)
	at := func(want string) {
		t.Helper()
		if got := h.step(); got != want {
			t.Fatalf("the tour is at %q, not %q", got, want)
		}
	}
	at("1 of 5")
	h.press(fyne.KeyF4)
	at("1 of 5")
	h.press(fyne.KeyF3)
	at("2 of 5")
	h.desk.Select(session.Selection{Kind: session.Wire, Name: "W1"})
	at("2 of 5")
	h.desk.Select(session.Selection{Kind: session.Device, Name: "H1"})
	at("3 of 5")
	h.press(fyne.KeyF6)
	at("3 of 5")
	h.press(fyne.KeyReturn) // the caution
	at("4 of 5")
	h.logAcross("G1:+", "F1:1", "b")
	at("5 of 5")
	h.press(fyne.KeyF5)
	at("")
	if !strings.Contains(h.texts(), "That was the tour.") {
		t.Error("nothing says that it is over")
	}
}

func TestTheTourOfAnEmptyMachine(t *testing.T) {
	h := sit(t, test.NewTempApp(t), emptyFile(t), usual)
	defer h.window.Close()
	h.tap("Tour in five steps")
	if h.step() != "1 of 5" {
		t.Fatalf("the tour is at %q", h.step())
	}
	for i, line := range []string{"G1 supply 24V 5A", "E1 lamp 24V 0.5A", "G1:+ E1:+ RD"} {
		h.write(line)
		h.press(fyne.KeyReturn)
		if want := []string{"2 of 5", "3 of 5", "4 of 5"}[i]; h.step() != want {
			t.Fatalf("after %q the tour is at %q, not %q: %s", line, h.step(), want, h.texts())
		}
	}
	h.tap("End tour")
	if h.step() != "" {
		t.Error("it cannot be ended")
	}
}
