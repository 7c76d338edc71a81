package window_test

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
	"bellout/app/window/keys"
	"bellout/app/window/room"
	"bellout/model"
)

// held is the text of the field that has the keyboard.
func (h *hands) held() string {
	if field, ok := h.canvas().Focused().(*keys.Entry); ok {
		return field.Text
	}
	return "no field"
}

// spots are the fields of the bench, each with a text that tells it from the others.
var spots = map[string]fyne.KeyName{"red": fyne.KeyL, "black": fyne.KeyK, "value": fyne.KeyM}

// TestACardGivesTheKeyboardBack: the list of keys, the cards of files and the caution,
// put away with Esc, lead to the field that had the keyboard, wherever it is.
func TestACardGivesTheKeyboardBack(t *testing.T) {
	h := sit(t, test.NewTempApp(t), basinFile(t), usual)
	defer h.window.Close()
	for name, up := range map[string]func(){
		"every key":         func() { h.press(fyne.KeyF1) },
		"open":              func() { h.ctrl(fyne.KeyO) },
		"a new file":        func() { h.ctrl(fyne.KeyN) },
		"a copy":            func() { h.ctrl(fyne.KeyS) },
		"a table":           func() { h.ctrl(fyne.KeyT) },
		"open, then keys":   func() { h.ctrl(fyne.KeyO); h.press(fyne.KeyF1) },
		"conditions":        func() { h.press(fyne.KeyF9, fyne.KeyEscape) }, // the list first
		"find on the chart": func() { h.ctrl(fyne.KeyF) },
	} {
		for spot, key := range spots {
			h.ctrl(key)
			h.write(spot + "7")
			before := h.canvas().Focused()
			if up(); h.canvas().Focused() == before {
				t.Fatalf("%s does not come up", name)
			}
			h.press(fyne.KeyEscape)
			if got := h.held(); got != spot+"7" {
				t.Errorf("%s, from %s: the keyboard is at %q", name, spot, got)
			}
			h.write("")
		}
	}
	for spot, key := range spots { // there Esc in a field takes back what is half typed
		h.ctrl(key)
		h.write(spot + "7")
		h.ctrl(fyne.KeyB)
		alone := h.held()
		h.ctrl(fyne.KeyB)
		if got := h.held(); alone != spot+"7" || got != spot+"7" {
			t.Errorf("the bench alone, from %s: the keyboard is at %q, and back at %q", spot, alone, got)
		}
		h.write("")
	}
	h.window.Go(room.Parts)
	parts := h.canvas().Focused()
	if h.press(fyne.KeyF1, fyne.KeyEscape); h.canvas().Focused() != parts {
		t.Errorf("from the parts the list of keys leads to %T %q", h.canvas().Focused(), h.held())
	}
	h.ctrl(fyne.KeyK)
	h.write("black7")
	h.window.Go(room.Chart)
	if h.press(fyne.KeyEscape); h.held() != "black7" {
		t.Errorf("Esc on the chart leads to %q", h.held())
	}
	if h.press(fyne.KeyEscape); h.held() == "no field" {
		t.Error("Esc in a field of the bench takes the keyboard away")
	}
}

// TestTheCautionGivesTheKeyboardBack: before the first reading, answered or not.
func TestTheCautionGivesTheKeyboardBack(t *testing.T) {
	h := sit(t, test.NewTempApp(t), basinFile(t), usual)
	defer h.window.Close()
	h.logAcross("G1:+", "F1:1", "b")
	if h.press(fyne.KeyEscape); h.held() != "b" {
		t.Errorf("after Not yet the keyboard is at %q", h.held())
	}
}

// TestTheFileChooserGivesTheKeyboardBack: to the field of the path, with the card still
// there; Esc puts the chooser away first.
func TestTheFileChooserGivesTheKeyboardBack(t *testing.T) {
	h := sit(t, test.NewTempApp(t), basinFile(t), usual)
	defer h.window.Close()
	h.ctrl(fyne.KeyO)
	h.write("machines/")
	h.tap("Browse...")
	if h.canvas().Overlays().Top() == nil {
		t.Fatal("there is no chooser")
	}
	h.press(fyne.KeyEscape)
	if h.canvas().Overlays().Top() != nil || h.held() != "machines/" || !strings.Contains(h.texts(), "Open a file") {
		t.Errorf("after Esc the keyboard is at %q, chooser up: %v", h.held(), h.canvas().Overlays().Top() != nil)
	}
}

// TestTheCaretStaysInItsFieldInAnotherStyle: larger type and night make everything anew.
func TestTheCaretStaysInItsFieldInAnotherStyle(t *testing.T) {
	for spot, key := range spots {
		h := sit(t, test.NewTempApp(t), basinFile(t), usual)
		h.ctrl(key)
		h.write(spot + "7")
		for _, style := range []fyne.KeyName{fyne.KeyD, fyne.KeyPlus, fyne.KeyMinus} {
			if h.ctrl(style); h.held() != spot+"7" {
				t.Errorf("Ctrl %s with the caret at %s: it is at %q", style, spot, h.held())
			}
		}
		h.window.Close()
	}
}

// TestWhatIsTypedIsNotLostWithTheWindow: closed, it asks, and closes when it is closed
// again.
func TestWhatIsTypedIsNotLostWithTheWindow(t *testing.T) {
	for name, c := range map[string]struct {
		do   func(*hands)
		asks string
	}{
		"nothing":           {func(*hands) {}, ""},
		"a value":           {func(h *hands) { h.write("24 V") }, "“24 V” (what the meter shows)"},
		"half a place":      {func(h *hands) { h.ctrl(fyne.KeyK); h.write("x9") }, "“x9” (where the black tip is)"},
		"conditions":        {func(h *hands) { h.press(fyne.KeyF9); h.write("unplugged J") }, "“unplugged J” (what is changed)"},
		"a part":            {func(h *hands) { h.window.Go(room.Parts); h.write("F9 fuse") }, "“F9 fuse”"},
		"a part, elsewhere": {func(h *hands) { h.window.Go(room.Parts); h.write("F9 fuse"); h.window.Go(room.Chart) }, "“F9 fuse”"},
		"a part that is added": {func(h *hands) {
			h.window.Go(room.Parts)
			h.write(`F9 fuse 2A "spare"`)
			h.press(fyne.KeyReturn)
		}, ""},
		"a search":            {func(h *hands) { h.ctrl(fyne.KeyF); h.write("lamp") }, ""},
		"a place that is put": {func(h *hands) { h.ctrl(fyne.KeyK); h.write("F1:1"); h.press(fyne.KeyReturn) }, ""},
	} {
		t.Run(name, func(t *testing.T) {
			h := sit(t, test.NewTempApp(t), basinFile(t), usual)
			closed := false
			h.window.Fyne().SetOnClosed(func() { closed = true })
			c.do(h)
			before := h.canvas().Focused()
			h.window.AskClose()
			if closed != (c.asks == "") {
				t.Fatalf("closed: %v; %q", closed, h.texts())
			}
			if c.asks == "" {
				return
			}
			if text := h.texts(); !strings.Contains(text, c.asks) {
				t.Errorf("it does not say %q: %q", c.asks, text)
			}
			if h.press(fyne.KeyEscape); h.canvas().Focused() != before {
				t.Error("put away, the keyboard is elsewhere")
			}
			h.window.AskClose()
			if closed {
				t.Error("the second time it does not ask")
			}
			if h.window.AskClose(); !closed {
				t.Error("closed twice it stays")
			}
		})
	}
}

// TestAnEndFromOutsideNamesWhatWasTyped: there nobody can be asked.
func TestAnEndFromOutsideNamesWhatWasTyped(t *testing.T) {
	h := sit(t, test.NewTempApp(t), basinFile(t), usual)
	h.write("24 V")
	h.window.Quit()
	if err := h.window.Err(); err == nil || !strings.Contains(err.Error(), "“24 V”") {
		t.Errorf("it ends with %v", err)
	}
}

// TestWhatIsHalfTypedBesideIsKeptOrTold: a reading comes, or another thing is looked at,
// while a date is typed in the column at the right.
func TestWhatIsHalfTypedBesideIsKeptOrTold(t *testing.T) {
	h := sit(t, test.NewTempApp(t), basinFile(t), fyne.NewSize(1400, 900))
	defer h.window.Close()
	h.desk.SetHealth("H1", model.HealthFailed, noon)
	h.desk.Select(session.Selection{Kind: session.Device, Name: "H1"})
	when := func() *keys.Entry {
		var found *keys.Entry
		h.walk(func(object fyne.CanvasObject) {
			if field, ok := object.(*keys.Entry); ok && strings.HasPrefix(field.PlaceHolder, "when") {
				found = field
			}
		})
		if found == nil {
			t.Fatal("there is no field for the date")
		}
		return found
	}
	h.canvas().Focus(when())
	h.canvas().Focused().TypedRune('7')
	typed := when().Text
	h.desk.PutTip(session.Red, model.TerminalRef{Device: "G1", Mark: "+"})
	h.desk.PutTip(session.Black, model.TerminalRef{Device: "F1", Mark: "1"})
	entry, err := session.ReadEntry("b")
	if err == nil {
		err = h.desk.Log(entry)
	}
	if err != nil {
		t.Fatal(err)
	}
	if got := when().Text; got != typed {
		t.Errorf("after a reading the date is %q, typed was %q", got, typed)
	}
	h.ctrl(fyne.KeyD)
	if !strings.Contains(h.desk.Notice().Text, typed) {
		t.Errorf("night would lose it, and says %q", h.desk.Notice().Text)
	}
	h.desk.Select(session.Selection{Kind: session.Device, Name: "G1"})
	if said := h.desk.Notice().Text; !strings.Contains(said, "Not written for H1") || !strings.Contains(said, typed) {
		t.Errorf("with another device it is gone, and said is %q", said)
	}
}
