package keys

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
)

// TestNoLetterIsLostAfterASelection: what was marked when the text was changed is not
// what is marked now, and the next letter took nothing's place but was lost.
func TestNoLetterIsLostAfterASelection(t *testing.T) {
	test.NewTempApp(t)
	for _, text := range []string{"", "x", "longer than before"} {
		e := NewEntry(&Map{})
		window := test.NewTempWindow(t, e)
		window.Canvas().Focus(e)
		test.Type(e, "marked")
		e.TypedShortcut(&fyne.ShortcutSelectAll{})
		e.SetText(text)
		if got := e.SelectedText(); got != "" {
			t.Errorf("after %q %q is marked", text, got)
		}
		e.CursorColumn = len(text)
		test.Type(e, "abc")
		if e.Text != text+"abc" {
			t.Errorf("after %q and abc the field holds %q", text, e.Text)
		}
	}
}
