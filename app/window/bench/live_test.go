package bench

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"bellout/app/session"
	"bellout/faults/judge"
	"bellout/model"
)

// tipsAt puts the tips by hand, the caret in the value field.
func (s *sitting) tipsAt(red, black string) {
	s.t.Helper()
	for i, text := range []string{red, black} {
		s.ctrl([]fyne.KeyName{fyne.KeyL, fyne.KeyK}[i])
		s.write(text)
		s.press(fyne.KeyReturn)
	}
	s.ctrl(fyne.KeyM)
}

func (s *sitting) board() string { return read(s.bench.panel.upper) }

func (s *sitting) said() string { return s.bench.panel.said.text.Text() }

func TestVoltsOnADeadMachineRaiseTheAlarm(t *testing.T) {
	s := column(t)
	s.tipsAt("g1:+", "g1:-")
	s.write("12V")
	s.press(fyne.KeyReturn)
	words := s.board()
	if !strings.HasPrefix(words, "LIVE") || !strings.Contains(words, liveDo) || !strings.Contains(words, "12 V from G1:+ to G1:-") {
		t.Fatalf("the board begins %.150q", words)
	}
	before := s.readings()
	s.ctrl(fyne.KeyM)
	s.write("4.7")
	s.press(fyne.KeyReturn)
	if s.readings() != before || s.bench.panel.value.Text != "4.7" || !strings.Contains(s.said(), "danger") {
		t.Fatalf("ohms straight after volts: stored %d, said %q", s.readings()-before, s.said())
	}
	s.press(fyne.KeyReturn)
	if s.readings() != before+1 {
		t.Error("Enter again did not store it")
	}
	s.press(fyne.KeyF6) // the next dead test repeats it
	if words := s.board(); !strings.HasPrefix(words, "LIVE") {
		t.Errorf("with the next probe the board begins %.80q", words)
	}
	s.tipsAt("g1:+", "g1:-")
	s.write("0.02V")
	s.press(fyne.KeyReturn)
	if strings.Contains(s.board(), "LIVE") {
		t.Error("about 0 V on the same two did not end it")
	}
}

// TestTheAlarmOutlivesItsReading: what was read was there, whoever takes it back.
func TestTheAlarmOutlivesItsReading(t *testing.T) {
	s := column(t)
	s.tipsAt("g1:+", "g1:-")
	s.write("12V")
	s.press(fyne.KeyReturn)
	s.ctrl(fyne.KeyU)
	words := s.board()
	if s.newest().Stands() || !strings.HasPrefix(words, "LIVE") || !strings.Contains(words, "taken back since") {
		t.Fatalf("after Ctrl U the board begins %.150q", words)
	}
	s.ctrl(fyne.KeyM)
	s.write("0.1 V")
	s.press(fyne.KeyReturn, fyne.KeyReturn) // with the plug in? it is asked
	if strings.Contains(s.board(), "LIVE") {
		t.Error("about 0 V on the same two did not end it")
	}
	if s.ctrl(fyne.KeyU); !strings.HasPrefix(s.board(), "LIVE") {
		t.Error("the 0 V was taken back, and the pair is called dead still")
	}
}

func TestTheAlarmEndsWhenItIsAskedForTwice(t *testing.T) {
	s := column(t)
	s.tipsAt("g1:+", "g1:-")
	s.write("12V")
	s.press(fyne.KeyReturn, fyne.KeyF12)
	if !strings.HasPrefix(s.board(), "LIVE") || s.said() != liveSure {
		t.Fatalf("F12 once: board %.40q, said %q", s.board(), s.said())
	}
	s.press(fyne.KeyF12)
	if strings.Contains(s.board(), "LIVE") {
		t.Error("F12 twice left the alarm")
	}
}

func TestWhatProvesNothingIsNotGreen(t *testing.T) {
	s := column(t)
	for range 12 { // the planner comes to a pair that electronics lie between
		s.press(fyne.KeyReturn)
		vague := s.bench.expectedFor != "" && !s.bench.expected.Known
		s.write("OL")
		s.press(fyne.KeyReturn)
		if s.bench.panel.value.Text != "" {
			s.press(fyne.KeyReturn)
		}
		outcome := s.desk.Outcome()
		if !vague || outcome == nil || outcome.Outcome != judge.Agrees || s.bench.proves(outcome.Reading.Number) {
			continue
		}
		if words := s.board(); !strings.Contains(words, narrows) || outcome.Leaves == "" || !strings.Contains(words, outcome.Leaves) || strings.Contains(words, "AGREES") {
			t.Errorf("asked for in a search: the board says %.120q, and it leaves %q", words, outcome.Leaves)
		}
		// the same touch of one's own accord
		s.tipsAt(strings.ToLower(outcome.Reading.Red.String()), strings.ToLower(outcome.Reading.Black.String()))
		s.write("OL")
		s.press(fyne.KeyReturn)
		if s.bench.panel.value.Text != "" {
			s.press(fyne.KeyReturn)
		}
		if words := s.board(); !strings.Contains(words, tellsLittle) || strings.Contains(words, "AGREES") {
			t.Errorf("asked for by nobody: the board says %.120q", words)
		}
		return
	}
	t.Fatal("no such reading in 12")
}

func TestReadOnlyTipsAreWrittenAndOnlyStoringIsRefused(t *testing.T) {
	path := demoFile(t)
	other := session.New(session.Options{})
	other.Open(path, nil)
	defer func() {
		if err := other.Close(); err != nil {
			t.Error(err)
		}
	}()
	s := sitLike(t, path)
	if !s.desk.View().ReadOnly {
		t.Fatal("two windows may write to one file")
	}
	s.tipsAt("g1:+", "x11:1")
	if words := s.board(); !strings.Contains(words, "G1:+") || !strings.Contains(words, "Expect") || !strings.Contains(words, "reading only") {
		t.Errorf("the board says %q", words)
	}
	before := s.readings()
	s.write("b")
	s.press(fyne.KeyReturn)
	if s.readings() != before || s.bench.panel.value.Text != "b" || !strings.Contains(s.said(), "reading only") {
		t.Errorf("stored %d, field %q, said %q", s.readings()-before, s.bench.panel.value.Text, s.said())
	}
}

// A live pair that nobody can read any more is an alarm too, without tips or volts
// made up for it.
func TestALivePairThatCannotBeReadHasItsWords(t *testing.T) {
	if got := liveWords(session.Live{Unread: "volts-dc twelve"}); got != "What the file keeps of a live pair cannot be read: volts-dc twelve" {
		t.Errorf("it says %q", got)
	}
	// Another window on the file may have read it a minute ago.
	earlier := session.Live{Mode: model.ModeVoltsAC, Volts: 230, Red: model.TerminalRef{Device: "X1", Mark: "L"}, Black: model.TerminalRef{Device: "X1", Mark: "N"}, Earlier: true}
	if got := liveWords(earlier); got != "230 V AC from X1:L to X1:N, as the file has it, and not proven dead since" {
		t.Errorf("it says %q", got)
	}
}

// Next to nothing where volts belong counts as a dead supply, unless the plug is
// noted as out: that is asked before it is stored.
func TestZeroVoltsAskForThePlug(t *testing.T) {
	for _, c := range []struct {
		name, condition, value string
		asks                   bool
	}{
		{"with the machine whole", "", "0.02V", true},
		{"with the plug out", "unplugged X1", "0.02V", false},
		{"volts that belong there", "", "24V", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := column(t)
			if c.condition != "" {
				if err := s.desk.AddConditions(c.condition); err != nil {
					t.Fatal(err)
				}
			}
			s.tipsAt("g1:+", "g1:-")
			before := s.readings()
			s.write(c.value)
			s.press(fyne.KeyReturn)
			if asked := s.readings() == before; asked != c.asks || asked && !strings.Contains(s.said(), "If the plug is out") {
				t.Fatalf("asked: %v, said %q", asked, s.said())
			}
			if c.asks {
				s.press(fyne.KeyReturn)
			}
			if s.readings() != before+1 {
				t.Errorf("%d readings stored, said %q", s.readings()-before, s.said())
			}
		})
	}
}

// Next to nothing at the two that are live would end the alarm.
func TestZeroAtTheTwoThatAreLiveAsksForThePlug(t *testing.T) {
	s := column(t)
	s.tipsAt("g1:-", "z1:pe")
	s.write("228V~")
	s.press(fyne.KeyReturn, fyne.KeyReturn) // earth: it is asked
	if _, is := s.desk.View().Report.Live(); !is {
		t.Fatalf("no alarm: %q", s.said())
	}
	s.tipsAt("g1:-", "z1:pe")
	before := s.readings()
	s.write("0.1V~")
	s.press(fyne.KeyReturn)
	if s.readings() != before || !strings.Contains(s.said(), "ends the alarm") {
		t.Fatalf("stored %d, said %q", s.readings()-before, s.said())
	}
	s.press(fyne.KeyReturn)
	if _, is := s.desk.View().Report.Live(); is {
		t.Errorf("it stands: %q", s.said())
	}
}
