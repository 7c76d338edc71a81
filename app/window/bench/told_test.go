package bench

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
	"bellout/app/window/look"
)

// TestWhatTheHintPromisesIsDone: where the line under the fields says that Enter
// takes the probe, Enter takes it.
func TestWhatTheHintPromisesIsDone(t *testing.T) {
	const promise = "Press Enter to use this probe"
	for name, bring := range map[string]func(*sitting){
		"at the start":       func(*sitting) {},
		"in a lead's field":  func(s *sitting) { s.ctrl(fyne.KeyL) },
		"after an own touch": func(s *sitting) { s.tipsAt("g1:+", "x11:1"); s.write("b"); s.press(fyne.KeyReturn) },
		"in the conditions":  func(s *sitting) { s.press(fyne.KeyF9) },
		"on the readings":    func(s *sitting) { s.bench.panel.readings.Select(0) },
		"after a probe":      func(s *sitting) { s.press(fyne.KeyReturn); s.write("s"); s.press(fyne.KeyReturn) },
		"with an own touch":  func(s *sitting) { s.tipsAt("g1:+", "x11:1") },
		"with a wrong place": func(s *sitting) {
			s.ctrl(fyne.KeyK)
			s.write("x99:1")
			s.press(fyne.KeyEscape)
			test.FocusNext(s.window.Canvas())
		},
		"back from the leads": func(s *sitting) { s.ctrl(fyne.KeyL); s.ctrl(fyne.KeyM) },
	} {
		s := column(t)
		bring(s)
		said := s.said()
		s.press(fyne.KeyReturn)
		if took := s.desk.Offered() != nil; strings.Contains(said, promise) != took {
			t.Errorf("%s: said %q, Enter took it: %v", name, said, took)
		}
	}
}

// TestBothTipsStayInSight: whatever was answered, in every size of type, at the
// sizes that the column has in a window of 1400x900 and of 900x600.
func TestBothTipsStayInSight(t *testing.T) {
	for _, size := range []look.TextSize{look.Near, look.ArmsLength, look.AcrossTheBench} {
		for _, column := range []fyne.Size{{Width: 448, Height: 800}, {Width: 380 * look.New(false, size).Scale(), Height: 510}, {Width: 600, Height: 700}} {
			s := sit(t, demoFile(t), look.New(false, size), column)
			s.tipsAt("g1:+", "x11:1")
			for _, value := range []string{"b", "OL"} {
				s.ctrl(fyne.KeyM)
				s.write(value)
				s.press(fyne.KeyReturn)
				if s.bench.panel.value.Text != "" {
					s.press(fyne.KeyReturn)
				}
			}
			if !s.bench.contradicted() {
				t.Fatal("OL after a beep contradicts nothing")
			}
			if words := s.board(); !strings.Contains(words, "CONTRADICTS") {
				t.Errorf("%v at %v: the board says %.60q", size, column, words)
			}
			s.tipsInSight()
			s.ctrl(fyne.KeyM)
			s.write("12V") // and the alarm before it
			s.press(fyne.KeyReturn)
			if s.bench.panel.value.Text != "" {
				s.press(fyne.KeyReturn)
			}
			if words := s.board(); !strings.HasPrefix(words, "LIVE") {
				t.Errorf("%v at %v: the board says %.60q", size, column, words)
			}
			s.tipsInSight()
		}
	}
}

// tipsInSight fails where one of the tips on the board is below what is seen.
func (s *sitting) tipsInSight() {
	s.t.Helper()
	p := s.bench.panel
	for _, object := range test.LaidOutObjects(p.upper) {
		probe, ok := object.(*probeTip)
		if !ok {
			continue
		}
		at := fyne.CurrentApp().Driver().AbsolutePositionForObject(probe)
		top := fyne.CurrentApp().Driver().AbsolutePositionForObject(p.scroll)
		if foot := at.Y - top.Y + probe.Size().Height; foot > p.scroll.Size().Height {
			s.t.Errorf("in %v: %s ends at %.0f of %.0f, brief %d", s.window.Canvas().Size(), probe.word.Text, foot, p.scroll.Size().Height, p.brief)
		}
	}
}

func TestInALowWindowThePressesKeepTheirKeys(t *testing.T) {
	s := sit(t, demoFile(t), look.New(false, look.Near), fyne.NewSize(380, 510))
	p := s.bench.panel
	if p.presses.Visible() || !p.keyLine.Visible() || !strings.Contains(p.keyLine.Text(), "F6 use") {
		t.Errorf("presses shown %v, keys shown %v: %q", p.presses.Visible(), p.keyLine.Visible(), p.keyLine.Text())
	}
	if foot := p.keyLine.Position().Y + p.keyLine.Size().Height; foot > p.readings.Position().Y+1 {
		t.Errorf("the keys end at %.0f, the readings begin at %.0f", foot, p.readings.Position().Y)
	}
}

func TestAContradictionThatNothingExplainsIsMadeAgain(t *testing.T) {
	s := column(t)
	s.tipsAt("g1:+", "x11:1")
	s.write("OL")
	s.press(fyne.KeyReturn)
	if _, there := s.bench.findingOfOutcome(); there || !s.bench.contradicted() {
		t.Skip("the demo has a finding for it")
	}
	if words := s.board(); !strings.Contains(words, "Measure again") || !strings.Contains(words, "firm tips") {
		t.Errorf("the board says %q", words)
	}
	before := s.readings()
	s.press(fyne.KeyReturn)
	if now := s.bench.touch(); now.stage != byHand || now.tips[session.Red].String() != "G1:+" || s.focused() != s.bench.panel.value {
		t.Fatalf("Enter brings %+v", now)
	}
	s.write("b")
	s.press(fyne.KeyReturn)
	if r := s.newest(); s.readings() != before+1 || r.Black.String() != "X11:1" {
		t.Errorf("stored %+v, said %q", r, s.said())
	}
}

func TestTheListSaysWhatWasChangedAndWhyStruck(t *testing.T) {
	s := column(t)
	s.press(fyne.KeyF9)
	s.write("unplugged J4")
	s.press(fyne.KeyReturn)
	s.tipsAt("g1:+", "x11:1")
	s.write("b")
	s.press(fyne.KeyReturn)
	row := newReadingRow(s.bench.panel.size)
	row.Resize(fyne.NewSize(440, row.MinSize().Height))
	row.set(s.newest(), s.bench.markOf(s.newest()))
	if row.more.Text != "J4 unplugged" || row.more.Hidden {
		t.Errorf("the line says %q", row.more.Text)
	}
	s.desk.Strike(s.newest().Number, "tip slipped")
	row.set(s.newest(), s.bench.markOf(s.newest()))
	if row.more.Text != "tip slipped" || row.strike.Hidden {
		t.Errorf("struck out, it says %q", row.more.Text)
	}
}

func TestWhatAnOldReadingSaidGoesWithTheNextTouch(t *testing.T) {
	s := column(t)
	s.press(fyne.KeyReturn)
	s.write("s")
	s.press(fyne.KeyReturn)
	message := s.desk.Outcome().Message
	s.bench.panel.readings.Select(2)
	s.tipsAt("g1:+", "x11:1")
	if strings.Contains(s.board(), message) || s.bench.panel.strike.words.Visible() {
		t.Errorf("the board says %q, below the list %q", s.board(), s.bench.panel.strike.words.Text())
	}
	if !s.bench.panel.skip.Off {
		t.Error("an own touch can be skipped")
	}
}

func TestAloneTheRightSaysWhyUntilThereIsAnAnswer(t *testing.T) {
	s := column(t)
	s.lay(s.bench.Alone(), fyne.NewSize(1400, 860))
	if words := read(s.bench.panel.aside); !strings.Contains(words, "Why") || !strings.Contains(words, "capacitors discharged") {
		t.Errorf("at the right stands %q", words)
	}
}

// The bench alone is read from the floor: in a low window too a terminal is larger
// than the words beside it, never squeezed by the probe that is drawn before it.
func TestAloneInALowWindowTerminalsAreLarge(t *testing.T) {
	s := column(t)
	s.lay(s.bench.Alone(), fyne.NewSize(900, 560))
	s.tipsAt("b4:vcc", "j6:b1")
	s.tipsInSight()
	seen := 0
	for _, object := range test.LaidOutObjects(s.bench.panel.upper) {
		if text, is := object.(*canvas.Text); is && (text.Text == "B4:VCC" || text.Text == "J6:B1") {
			seen++
			if least := s.bench.panel.size.text; text.TextSize < least {
				t.Errorf("brief %d: %s is written in %.0f, want %.0f at least", s.bench.panel.brief, text.Text, text.TextSize, least)
			}
		}
	}
	if seen != 2 {
		t.Fatalf("%d terminals are seen", seen)
	}
}
