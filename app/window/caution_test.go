package window_test

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
)

// While the caution asks, the keys of what lies behind it do nothing: nothing is
// taken back unseen, and Enter goes on answering the card.
func TestNothingHappensBehindTheCaution(t *testing.T) {
	h := sit(t, test.NewTempApp(t), basinFile(t), usual)
	defer h.window.Close()
	h.logAcross("G1:+", "F1:1", "b")
	before := h.desk.View().Undo
	for _, key := range []fyne.KeyName{fyne.KeyU, fyne.KeyB, fyne.KeyL} {
		h.ctrl(key)
	}
	h.press(fyne.KeyF4)
	if got := h.desk.View().Undo; got != before {
		t.Errorf("what can be taken back was %q, and is %q", before, got)
	}
	if !strings.Contains(h.texts(), "Before the first touch") {
		t.Error("the card is gone, and nobody answered it")
	}
	h.press(fyne.KeyReturn)
	if got := len(h.desk.Machine().Readings); got != 1 || strings.Contains(h.texts(), "Before the first touch") {
		t.Errorf("Enter does not answer the card: %d readings", got)
	}
}
