package bench

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"bellout/app/session"
	"bellout/faults/nextprobe"
)

// restart opens the file of a sitting anew, as after the laptop ran down: only
// what was kept outside the process is still there.
func (s *sitting) restart() {
	s.t.Helper()
	path := s.desk.View().Path
	if err := s.desk.Close(); err != nil {
		s.t.Fatal(err)
	}
	s.desk, s.bench = session.New(session.Options{}), nil
	s.desk.Open(path, nil)
	s.build()
	s.lay(s.bench.Object(), fyne.NewSize(440, 820))
}

func (s *sitting) chips() string { return read(s.bench.panel.conditions.chips) }

func TestWhatIsChangedOutlivesTheProgram(t *testing.T) {
	s := column(t)
	s.press(fyne.KeyF9)
	s.write("unplugged J1; lifted W12")
	s.press(fyne.KeyReturn)
	s.bench.setGoal(nextprobe.Verify)
	s.restart()
	if words := s.chips(); !strings.Contains(words, "from last time; still so?") || !strings.Contains(words, "J1 is unplugged") || !strings.Contains(words, "F10") || !strings.Contains(words, "F11") {
		t.Fatalf("the chips say %q", words)
	}
	if s.desk.View().Goal != nextprobe.Verify {
		t.Errorf("the goal is %q", s.desk.View().Goal)
	}
	s.tipsAt("g1:+", "x11:1")
	before := s.readings()
	s.write("b")
	s.press(fyne.KeyReturn)
	if s.readings() != before || !strings.Contains(s.said(), "from last time") {
		t.Fatalf("stored %d without asking, said %q", s.readings()-before, s.said())
	}
	s.press(fyne.KeyF10, fyne.KeyReturn)
	if r := s.newest(); s.readings() != before+1 || r.Conditions.String() != "lifted W12; unplugged J1" {
		t.Errorf("stored %d under %q", s.readings()-before, r.Conditions.String())
	}
	if strings.Contains(s.chips(), "last time") {
		t.Errorf("after F10 the chips say %q", s.chips())
	}
	s.restart()
	s.press(fyne.KeyF11)
	if words := s.chips(); len(s.desk.Conditions()) != 0 || !strings.Contains(words, "everything plugged in") {
		t.Errorf("after F11 the chips say %q", words)
	}
	s.restart()
	if len(s.desk.Conditions()) != 0 {
		t.Errorf("what was cleared came back: %s", s.desk.Conditions())
	}
}

func TestATakenProbeMarksWhatIsToDo(t *testing.T) {
	s := column(t)
	s.press(fyne.KeyF9)
	s.write("unplugged J1")
	s.press(fyne.KeyReturn)
	s.tipsAt("g1:+", "x11:1")
	probe := s.desk.View().Next.Probe
	if len(probe.Conditions) == 0 {
		t.Fatal("the demo proposes a probe that changes nothing")
	}
	s.press(fyne.KeyF6)
	words := s.chips()
	if !strings.Contains(words, "to do: "+conditionWords(probe.Conditions[0])) || !strings.Contains(words, "put back: plug J1 in again") {
		t.Fatalf("the chips say %q", words)
	}
	if chip := s.bench.panel.conditions.chips.Objects[0].(*chip); chip.sign == nil {
		t.Error("what is to do has no shape of its own")
	}
	s.write("s")
	s.press(fyne.KeyReturn)
	if words := s.chips(); strings.Contains(words, "to do") || strings.Contains(words, "put back") {
		t.Errorf("after the value the chips say %q", words)
	}
	if s.newest().Conditions.String() != probe.Conditions.String() {
		t.Errorf("stored under %s", s.newest().Conditions)
	}
}
