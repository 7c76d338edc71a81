package window_test

import (
	"os"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
	"bellout/app/window/room"
	"bellout/faults/nextprobe"
	"bellout/model"
)

const handsOff = "Hands off, plug out."

// live logs 230 V AC between rail and return of G1.
func (h *hands) live() {
	h.t.Helper()
	h.logAcross("G1:+", "G1:-", "230V~")
	if strings.Contains(h.texts(), "Before the first touch") {
		h.press(fyne.KeyReturn)
	}
	if _, is := h.desk.View().Report.Live(); !is {
		h.t.Fatalf("230 V AC on the 12 V side is no alarm: %q", h.texts())
	}
}

func TestTheAlarmStandsOverEverythingUntilItIsOver(t *testing.T) {
	h := sit(t, test.NewTempApp(t), basinFile(t), usual)
	defer h.window.Close()
	if strings.Contains(h.texts(), handsOff) {
		t.Fatal("there is no alarm yet")
	}
	h.live()
	seen := func(where string) {
		t.Helper()
		if text := h.texts(); !strings.Contains(text, handsOff) || !strings.Contains(text, "An electrician before the plug goes in again") {
			t.Errorf("%s it is not seen: %q", where, text)
		}
	}
	for _, place := range []string{room.Chart, room.Findings, room.Parts, room.Sheets} {
		h.window.Go(place)
		seen("in " + place)
		h.press(fyne.KeyEscape)
		seen("after Esc in " + place)
	}
	for _, press := range []string{"F1", "Ctrl O", "Ctrl N", "Ctrl B", "Ctrl D", "F12", "F12", "Ctrl B"} {
		h.window.Press(press)
		seen("under " + press)
		if press != "Ctrl B" {
			h.press(fyne.KeyEscape)
		}
		seen("after " + press)
	}
	if next := h.desk.View().Next; next == nil || !next.Done || next.Probe != nil || !strings.Contains(next.Why, "electrician") {
		t.Errorf("it proposes %+v", next)
	}

	// from the keyboard: the tips on the two, the value, Enter
	h.canvas().Unfocus()
	h.window.Press("Ctrl Shift Z")
	if red, black := h.desk.Tip(session.Red).String(), h.desk.Tip(session.Black).String(); red != "G1:+" || black != "G1:-" {
		t.Fatalf("the tips are on %s and %s", red, black)
	}
	h.write("30")
	h.press(fyne.KeyReturn)
	last := h.desk.Machine().Readings[len(h.desk.Machine().Readings)-1]
	if last.Mode != model.ModeVoltsAC || last.Value.Number != 30 {
		t.Fatalf("stored %+v", last)
	}
	seen("at 30 V")
	h.window.Press("Ctrl Shift Z")
	h.write("0.1")
	h.press(fyne.KeyReturn)
	for range 2 { // a doubt may be asked about
		if _, is := h.desk.View().Report.Live(); is {
			h.press(fyne.KeyReturn)
		}
	}
	if text := h.texts(); strings.Contains(text, handsOff) || len(h.desk.View().Report.Findings) > 0 && h.desk.View().Report.Findings[0].Rule == "live-part" {
		t.Errorf("it reads 0.1 V now, and the alarm stands: %q", text)
	}
	h.window.Press("Ctrl Shift Z") // nothing to measure any more
	h.ctrl(fyne.KeyZ)              // the 0.1 V is taken back
	seen("after taking back what ended it")
}

// What waits for the bench waits on while something is live.
func TestNoQueueGoesOnWhileLive(t *testing.T) {
	h := sit(t, test.NewTempApp(t), basinFile(t), usual)
	defer h.window.Close()
	next := h.desk.View().Next
	if next == nil || next.Probe == nil {
		t.Fatal("nothing is proposed on the basin")
	}
	h.live()
	proposal := *next
	h.desk.Queue("a test", []nextprobe.Proposal{proposal})
	if now := h.desk.View().Next; now == nil || now.Probe != nil {
		t.Errorf("the bench is sent to %+v", now)
	}
}

// In a file that is only read the alarm is there too, and nobody is asked to log.
func TestTheAlarmOfAFileThatIsRead(t *testing.T) {
	path := basinFile(t)
	h := sit(t, test.NewTempApp(t), path, usual)
	h.live()
	h.window.Close()
	if err := os.Chmod(path, 0o444); err != nil {
		t.Fatal(err)
	}
	again := sit(t, test.NewTempApp(t), path, small)
	defer again.window.Close()
	text := again.texts()
	if !strings.Contains(text, handsOff) {
		t.Errorf("the alarm is forgotten: %q", text)
	}
	if again.desk.View().ReadOnly && strings.Contains(text, "Tips on these two") {
		t.Error("it asks for a reading that nothing stores")
	}
}
