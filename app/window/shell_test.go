package window_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
	"bellout/app/sheets"
	"bellout/app/window"
	"bellout/app/window/look"
	"bellout/model"
	"bellout/model/store"
)

var usual = fyne.NewSize(1200, 800)

// logAcross logs a reading across two terminals by keyboard. The caution card is
// answered where it comes.
func (h *hands) logAcross(red, black, value string) {
	h.t.Helper()
	h.ctrl(fyne.KeyL)
	h.write(red)
	h.press(fyne.KeyReturn)
	h.write(black)
	h.press(fyne.KeyReturn)
	h.write(value)
	h.press(fyne.KeyReturn)
}

func TestTheCautionIsShownOnceASittingAndRecorded(t *testing.T) {
	path := basinFile(t)
	h := sit(t, test.NewTempApp(t), path, usual)
	h.logAcross("G1:+", "F1:1", "b")
	if !strings.Contains(h.texts(), "Before the first touch") {
		t.Fatal("no caution before the first reading")
	}
	if got := len(h.desk.Machine().Readings); got != 0 {
		t.Fatalf("%d readings were stored before the caution was answered", got)
	}
	h.press(fyne.KeyEscape)
	if got := len(h.desk.Machine().Readings); got != 0 || strings.Contains(h.texts(), "Before the first touch") {
		t.Fatalf("Escape left the card up, or stored: %d readings", got)
	}
	h.press(fyne.KeyReturn)
	h.press(fyne.KeyReturn)
	if got := len(h.desk.Machine().Readings); got != 1 {
		t.Fatalf("%d readings after the caution was answered, want 1", got)
	}
	h.logAcross("F1:2", "J2:A1", "b")
	if strings.Contains(h.texts(), "Before the first touch") {
		t.Error("the caution comes a second time in one sitting")
	}
	if got := len(h.desk.Machine().Readings); got != 2 {
		t.Errorf("%d readings, want 2", got)
	}
	h.window.Close()
	file, err := store.Open(path, store.ReadOnly)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	list, err := file.Cautions()
	if err != nil || len(list) != 1 {
		t.Errorf("the file notes %v, %v; want one caution", list, err)
	}
}

func TestASecondWindowIsReadOnlyAndEditsAreRefused(t *testing.T) {
	path := basinFile(t)
	first := sit(t, test.NewTempApp(t), path, usual)
	defer first.window.Close()
	second := sit(t, fyne.CurrentApp(), path, usual)
	defer second.window.Close()
	if got := second.window.Fyne().Title(); got != "basin (read only) - Bellout" {
		t.Errorf("the title is %q", got)
	}
	if text := second.texts(); !strings.Contains(text, "READ ONLY") {
		t.Errorf("nothing on screen says that the file is read-only")
	}
	before := second.desk.Machine()
	second.desk.Select(session.Selection{Kind: session.Device, Name: "H1"})
	for name, edit := range map[string]func(){
		"a health": func() { second.window.Press("Ctrl Shift F") },
		"an edit": func() {
			wire := before.Wires[0]
			after := wire
			after.Removed = true
			second.desk.Do(model.Edit{What: "a wire", Changes: []model.Change{{Before: wire, After: after}}}, nil)
		},
		"a strike": func() { second.desk.Strike(1, "a slip") },
		"an undo":  second.desk.Undo,
	} {
		second.desk.Say("")
		edit()
		if notice := second.desk.Notice(); !notice.Bad || !strings.Contains(notice.Text, "reading only") || strings.Contains(notice.Text, "\n") {
			t.Errorf("%s in a read-only file: %+v, want one line that says why", name, notice)
		}
	}
	if d, _ := second.desk.Machine().Device("H1"); d.Health == model.HealthFailed || second.desk.Machine().Wires[0].Removed {
		t.Error("something was changed")
	}
	if d, _ := first.desk.Machine().Device("H1"); d.Health == model.HealthFailed {
		t.Error("something was changed in the file")
	}
}

func TestEverythingIsTakenBackAndMadeAgainByKey(t *testing.T) {
	h := sit(t, test.NewTempApp(t), basinFile(t), usual)
	defer h.window.Close()
	start := h.desk.Machine()
	state := func() string {
		m := h.desk.Machine()
		d, _ := m.Device("H1")
		standing := 0
		for _, r := range m.Readings {
			if r.Stands() {
				standing++
			}
		}
		wire, there := m.Wire("W1")
		return strings.Join([]string{string(d.Health), string(wire.Colour), map[bool]string{true: "W1", false: "no W1"}[there], string(rune('0' + standing))}, " ")
	}
	states := []string{state()}
	did := func(what string) {
		t.Helper()
		now := state()
		if now == states[len(states)-1] {
			t.Fatalf("%s changed nothing: %s; %+v", what, now, h.desk.Notice())
		}
		states = append(states, now)
	}
	h.logAcross("G1:+", "F1:1", "b")
	h.press(fyne.KeyReturn) // the caution
	did("a reading")
	h.desk.Select(session.Selection{Kind: session.Device, Name: "H1"})
	h.ctrl(fyne.KeyF, fyne.KeyModifierShift)
	did("a health")
	wire := start.Wires[0]
	after := wire
	after.Colour = "BU"
	h.desk.Do(model.Edit{What: "a colour", Changes: []model.Change{{Before: wire, After: after}}}, nil)
	did("a colour")
	h.desk.Do(model.Edit{What: "a wire goes", Changes: []model.Change{{Before: after}}}, nil)
	did("a wire")
	h.canvas().Unfocus()
	for at := len(states) - 2; at >= 0; at-- {
		h.ctrl(fyne.KeyZ)
		if got := state(); got != states[at] {
			t.Fatalf("taken back to %q, want %q", got, states[at])
		}
	}
	for at := 1; at < len(states); at++ {
		h.ctrl(fyne.KeyY)
		if got := state(); got != states[at] {
			t.Fatalf("made again to %q, want %q", got, states[at])
		}
	}
}

func TestThemeAndTypeKeepWhatIsHalfTyped(t *testing.T) {
	h := sit(t, test.NewTempApp(t), basinFile(t), usual)
	defer h.window.Close()
	h.ctrl(fyne.KeyL)
	h.write("G1:")
	h.ctrl(fyne.KeyM)
	h.write("4.")
	for _, turn := range []fyne.KeyName{fyne.KeyD, fyne.KeyEqual, fyne.KeyEqual, fyne.KeyMinus, fyne.KeyD} {
		h.ctrl(turn)
		text := h.texts()
		if !strings.Contains(text, "4.\n") || !strings.Contains(text, "G1:\n") {
			t.Fatalf("after Ctrl %s what was half typed is gone: %q", turn, text)
		}
	}
	h.window.Press("Ctrl B")
	h.window.Press("Ctrl D")
	if text := h.texts(); strings.Contains(text, "F2\n") || !strings.Contains(text, "4.\n") {
		t.Errorf("Ctrl D in the bench alone goes back to side by side, or drops what is half typed")
	}
	h.window.Press("Ctrl B")
	if !strings.Contains(h.texts(), "F2\n") {
		t.Error("Ctrl B does not come back from the bench alone")
	}
}

func TestEveryActionHasAKeyOfItsOwn(t *testing.T) {
	h := sit(t, test.NewTempApp(t), basinFile(t), usual)
	defer h.window.Close()
	taken := map[string]string{}
	for _, action := range h.window.Actions() {
		cap := action.Key.String()
		if action.Key.Name == "" || action.Name == "" || action.Group == "" {
			t.Errorf("%q under %q has the key %q", action.Name, action.Group, cap)
		}
		if other, twice := taken[cap]; twice {
			t.Errorf("%s is both %q and %q", cap, other, action.Name)
		}
		taken[cap] = action.Name
	}
	h.press(fyne.KeyF1)
	text := h.texts()
	words := strings.Join(strings.Fields(text), " ") // a long name goes into two lines
	for cap, name := range taken {
		if !strings.Contains(words, name+" "+cap) || !strings.Contains(text, cap+"\n") {
			t.Errorf("the list of keys lacks %q, or its key %s", name, cap)
		}
	}
	if len(taken) < 30 {
		t.Errorf("only %d actions", len(taken))
	}
}

func TestTheWindowIsFoundAsItWasLeft(t *testing.T) {
	app := test.NewTempApp(t)
	path := basinFile(t)
	h := sit(t, app, path, fyne.NewSize(1111, 777))
	h.ctrl(fyne.KeyD)
	h.ctrl(fyne.KeyEqual)
	h.window.Fyne().Resize(fyne.NewSize(1111, 777))
	h.window.Close()
	again := window.New(app, session.New(session.Options{}))
	defer again.Close()
	if got := again.Fyne().Canvas().Size(); got != fyne.NewSize(1111, 777) {
		t.Errorf("the window is %v, it was left at 1111 by 777", got)
	}
	if theme := look.Now(); !theme.Dark || theme.TextSize != look.ArmsLength {
		t.Errorf("night is %v, type is %v", theme.Dark, theme.TextSize)
	}
	if list := window.Recent(app); !slices.Contains(list, path) {
		t.Errorf("open lately: %q", list)
	}
}

func TestPagesWithoutFileAndWithoutMachine(t *testing.T) {
	h := sit(t, test.NewTempApp(t), "", usual)
	if text := h.texts(); !strings.Contains(text, "No file is open") || !strings.Contains(text, "Ctrl N") {
		t.Errorf("without a file the window shows %q", text)
	}
	h.window.Close()
	h = sit(t, test.NewTempApp(t), emptyFile(t), usual)
	defer h.window.Close()
	text := h.texts()
	for _, way := range []string{"New machine", "Add a supply", "Import a table", "Add a connector"} {
		if !strings.Contains(text, way) {
			t.Errorf("an empty machine does not offer %q", way)
		}
	}
}

func TestTablesAreReadFromTheEmptyPage(t *testing.T) {
	folder, err := filepath.Abs(basin)
	if err != nil {
		t.Fatal(err)
	}
	source := sit(t, test.NewTempApp(t), basinFile(t), usual)
	workbook := filepath.Join(t.TempDir(), "basin.xlsx")
	out, err := os.Create(workbook)
	if err != nil {
		t.Fatal(err)
	}
	for _, sheet := range sheets.Sheets {
		if sheet.Name == "workbook" {
			err = sheet.Write(t.Context(), out, sheets.XLSX, sheets.Job{Title: "basin", Printed: noon, Machine: source.desk.Machine()})
		}
	}
	if err == nil {
		err = out.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	source.window.Close()
	for name, from := range map[string]string{"a folder": folder, "a workbook": workbook} {
		t.Run(name, func(t *testing.T) {
			h := sit(t, test.NewTempApp(t), emptyFile(t), usual)
			defer h.window.Close()
			h.tap("Import a table")
			h.write(filepath.Join(t.TempDir(), "nothing-there"))
			before := strings.Count(h.texts(), "nothing-there")
			h.press(fyne.KeyReturn)
			if text := h.texts(); strings.Count(text, "nothing-there") <= before || len(h.desk.Machine().Devices) != 0 {
				t.Errorf("a path that is not there is not told of: %q", text)
			}
			h.write(from)
			h.press(fyne.KeyReturn)
			if got := len(h.desk.Machine().Devices); got != 5 {
				t.Fatalf("%d devices were read, want 5; %q", got, h.texts())
			}
			if text := h.texts(); strings.Contains(text, "New machine") {
				t.Error("the ways to begin still stand there")
			}
		})
	}
}

func TestBadPathsAreToldInALineAndWhatWasTypedStays(t *testing.T) {
	path := basinFile(t)
	noFile := filepath.Join(t.TempDir(), "not-there.bellout")
	noDatabase := filepath.Join(t.TempDir(), "letter.bellout")
	if err := os.WriteFile(noDatabase, []byte("dear friend"), 0o644); err != nil {
		t.Fatal(err)
	}
	h := sit(t, test.NewTempApp(t), path, usual)
	defer h.window.Close()
	for _, c := range []struct {
		key  fyne.KeyName
		path string
	}{{fyne.KeyO, noFile}, {fyne.KeyO, noDatabase}, {fyne.KeyN, path}, {fyne.KeyS, path}} {
		h.ctrl(c.key)
		h.write(c.path)
		before := strings.Count(h.texts(), filepath.Base(c.path))
		h.press(fyne.KeyReturn)
		if after := strings.Count(h.texts(), filepath.Base(c.path)); after <= before {
			t.Errorf("Ctrl %s with %s says nothing new: %q", c.key, filepath.Base(c.path), h.texts())
		}
		if h.desk.View().Path != path {
			t.Fatalf("the file that was open is gone: %q", h.desk.View().Path)
		}
		h.press(fyne.KeyEscape)
	}
}
