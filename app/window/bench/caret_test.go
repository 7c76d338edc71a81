package bench

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"bellout/app/session"
	"bellout/faults/nextprobe"
	"bellout/model"
)

// where names the field of the bench that has the keyboard.
func (s *sitting) where() string {
	on, p := s.focused(), s.bench.panel
	switch on {
	case p.leads[session.Red].entry:
		return "RED"
	case p.leads[session.Black].entry:
		return "BLACK"
	case p.value:
		return "SHOWS"
	case p.conditions.line:
		return "CONDITIONS"
	case p.strike.reason:
		return "REASON"
	}
	return "elsewhere"
}

// tipsText says where both tips are.
func (s *sitting) tipsText() string {
	return s.desk.Tip(session.Red).String() + " " + s.desk.Tip(session.Black).String()
}

// TestTheCaretLeadsToTheRightPair: from every beginning, RED and Enter lead to BLACK,
// BLACK and Enter to SHOWS, and a place that is typed elsewhere never moves red.
func TestTheCaretLeadsToTheRightPair(t *testing.T) {
	type step struct {
		do    string // keys by name, or text in quotes
		where string
		tips  string // empty: as before
	}
	begins := map[string]func(*sitting){
		"nothing noted": func(*sitting) {},
		"a pair logged": func(s *sitting) {
			s.tipsAt("g1:+", "x11:1")
			s.write("b")
			s.press(fyne.KeyReturn)
			s.ctrl(fyne.KeyM)
		},
		"red walked": func(s *sitting) {
			s.tipsAt("g1:+", "x11:1")
			s.ctrl(fyne.KeyL)
			s.write("x11:2")
			s.press(fyne.KeyReturn, fyne.KeyReturn)
			s.write("b")
			s.press(fyne.KeyReturn)
			s.ctrl(fyne.KeyM)
		},
		"a proposal logged": func(s *sitting) {
			s.press(fyne.KeyReturn)
			s.write("s")
			s.press(fyne.KeyReturn)
		},
		"a proposal taken": func(s *sitting) { s.press(fyne.KeyReturn) },
		"a contradiction": func(s *sitting) {
			s.tipsAt("g1:+", "f1:1")
			s.write("OL")
			s.press(fyne.KeyReturn)
			s.ctrl(fyne.KeyM)
		},
	}
	for name, begin := range begins {
		for way, steps := range map[string][]step{
			"both by their fields": {
				{"Ctrl L", "RED", ""}, {"'g2:+'", "RED", ""}, {"Enter", "BLACK", ""}, {"'x11:3'", "BLACK", ""}, {"Enter", "SHOWS", "G2:+ X11:3"},
			},
			"the red one again, unchanged": {
				{"Ctrl L", "RED", ""}, {"'g2:+'", "RED", ""}, {"Enter", "BLACK", ""}, {"'x11:3'", "BLACK", ""}, {"Enter", "SHOWS", "G2:+ X11:3"},
				{"Ctrl L", "RED", ""}, {"Enter", "BLACK", "G2:+ X11:3"}, {"Enter", "SHOWS", "G2:+ X11:3"},
			},
			"black first": {
				{"Ctrl K", "BLACK", ""}, {"'x11:3'", "BLACK", ""}, {"Enter", "", ""}, {"Ctrl L", "RED", ""}, {"'g2:+'", "RED", ""}, {"Enter", "BLACK", "G2:+ X11:3"}, {"Enter", "SHOWS", "G2:+ X11:3"},
			},
			"from a list": {
				{"Ctrl L", "RED", ""}, {"'g2:'", "RED", ""}, {"Down", "RED", ""}, {"Up", "RED", ""}, {"Enter", "BLACK", ""},
			},
			"a place under SHOWS goes to no other tip": {
				{"Ctrl L", "RED", ""}, {"'g2:+'", "RED", ""}, {"Enter", "BLACK", ""}, {"Ctrl M", "SHOWS", ""}, {"'x11:3'", "SHOWS", ""}, {"Enter", "SHOWS", "G2:+ X11:3"},
			},
			"a place under SHOWS with Ctrl L and Ctrl K": {
				{"'g2:+'", "SHOWS", ""}, {"Ctrl L", "BLACK", ""}, {"Ctrl M", "SHOWS", ""}, {"'x11:3'", "SHOWS", ""}, {"Ctrl K", "SHOWS", "G2:+ X11:3"},
			},
		} {
			t.Run(name+", "+way, func(t *testing.T) {
				s := column(t)
				begin(s)
				for at, step := range steps {
					switch named := map[string]fyne.KeyName{"Enter": fyne.KeyReturn, "Down": fyne.KeyDown, "Up": fyne.KeyUp}[step.do]; {
					case named != "":
						s.press(named)
					case strings.HasPrefix(step.do, "Ctrl "):
						s.ctrl(fyne.KeyName(strings.TrimPrefix(step.do, "Ctrl ")))
					default:
						s.write(strings.Trim(step.do, "'"))
					}
					if step.where != "" && s.where() != step.where {
						t.Fatalf("step %d, %s: the caret is in %s, want %s; said %q", at+1, step.do, s.where(), step.where, s.said())
					}
					if step.tips != "" && s.tipsText() != step.tips {
						t.Fatalf("step %d, %s: the tips are on %s, want %s; said %q", at+1, step.do, s.tipsText(), step.tips, s.said())
					}
				}
			})
		}
	}
}

// TestAPlaceUnderShowsAsksAfterAReading: both tips are noted for the last reading, and
// which of them it means nobody knows.
func TestAPlaceUnderShowsAsksAfterAReading(t *testing.T) {
	s := column(t)
	s.press(fyne.KeyReturn)
	s.write("s")
	s.press(fyne.KeyReturn)
	before := s.tipsText()
	s.write("x11:3")
	s.press(fyne.KeyReturn)
	if s.tipsText() != before || s.bench.panel.value.Text != "x11:3" || !strings.Contains(s.said(), "of which tip?") {
		t.Errorf("the tips were on %s, and are on %s; SHOWS holds %q, said %q", before, s.tipsText(), s.bench.panel.value.Text, s.said())
	}
}

// TestAfterBothTipsWereSetElsewhereTheCaretIsAtTheValue: by the mouse on the chart, by a
// probe that was taken in another place.
func TestAfterBothTipsWereSetElsewhereTheCaretIsAtTheValue(t *testing.T) {
	for name, set := range map[string]func(*sitting){
		"mouse": func(s *sitting) {
			s.desk.PutTip(session.Red, ref(t, "G1:+"))
			s.desk.PutTip(session.Black, ref(t, "X11:1"))
		},
		"mouse, black first": func(s *sitting) {
			s.desk.PutTip(session.Black, ref(t, "X11:1"))
			s.desk.PutTip(session.Red, ref(t, "G1:+"))
		},
		"a probe that was taken": func(s *sitting) {
			s.desk.TakeProbe(nextprobe.Probe{Red: ref(t, "G1:+"), Black: ref(t, "X11:1"), Mode: "ohms"})
		},
		"a probe for something": func(s *sitting) {
			s.desk.TakeFor(nextprobe.Probe{Red: ref(t, "G1:+"), Black: ref(t, "X11:1"), Mode: "volts-dc"}, "why", "")
		},
		"a proposal": func(s *sitting) { s.press(fyne.KeyF6) },
	} {
		for from, focus := range map[string]func(*sitting){
			"from the chart": func(s *sitting) { s.window.Canvas().Unfocus() },
			"from RED":       func(s *sitting) { s.ctrl(fyne.KeyL) },
			"from BLACK":     func(s *sitting) { s.ctrl(fyne.KeyK) },
		} {
			s := column(t)
			focus(s)
			if set(s); s.where() != "SHOWS" {
				t.Errorf("%s %s: the caret is in %s", name, from, s.where())
			}
		}
	}
	s := column(t)
	s.window.Canvas().Unfocus()
	s.desk.PutTip(session.Red, ref(t, "G1:+"))
	if s.where() != "elsewhere" {
		t.Errorf("one tip alone moved the caret to %s", s.where())
	}
	s.bench.Type('x') // on the chart, where nothing takes letters
	if s.where() != "BLACK" || s.bench.panel.leads[session.Black].entry.Text != "x" {
		t.Errorf("a letter went to %s, BLACK holds %q", s.where(), s.bench.panel.leads[session.Black].entry.Text)
	}
	s.desk.PutTip(session.Black, ref(t, "X11:1"))
	if !strings.Contains(s.said(), "“x” was typed") {
		t.Errorf("what was half typed for BLACK is gone in silence: %q", s.said())
	}
	s.window.Canvas().Unfocus()
	s.bench.Type('4')
	if s.where() != "SHOWS" || s.bench.panel.value.Text != "4" {
		t.Errorf("a digit went to %s, SHOWS holds %q", s.where(), s.bench.panel.value.Text)
	}
}

// TestNoDigitIsLostAfterTheLastValueWasMarked: 12.5 typed after a value that was marked
// was stored as 2.5.
func TestNoDigitIsLostAfterTheLastValueWasMarked(t *testing.T) {
	s := column(t)
	s.tipsAt("g1:+", "x11:1")
	for _, typed := range []string{"47", "12.5"} {
		s.ctrl(fyne.KeyM)
		s.write(typed)
		s.bench.panel.value.TypedShortcut(&fyne.ShortcutSelectAll{})
		before := s.readings()
		for s.bench.panel.value.Text != "" && s.readings() == before {
			s.press(fyne.KeyReturn)
		}
		if got := s.newest().Value.String(); got != typed {
			t.Errorf("typed was %s, stored is %s", typed, got)
		}
	}
}

// TestWhatIsOpenedGivesTheCaretBack: Esc, or Enter, leads to the field before.
func TestWhatIsOpenedGivesTheCaretBack(t *testing.T) {
	for _, open := range []struct {
		name string
		do   func(*sitting)
		in   string
		end  func(*sitting)
	}{
		{"conditions, Esc", func(s *sitting) { s.press(fyne.KeyF9) }, "CONDITIONS", func(s *sitting) { s.press(fyne.KeyEscape, fyne.KeyEscape) }},
		{"conditions, Enter", func(s *sitting) { s.press(fyne.KeyF9) }, "CONDITIONS", func(s *sitting) { s.write("unplugged J4"); s.press(fyne.KeyReturn) }},
		{"a reason, Esc", func(s *sitting) { s.ctrl(fyne.KeyR) }, "REASON", func(s *sitting) { s.press(fyne.KeyEscape) }},
		{"a reason, Enter", func(s *sitting) { s.ctrl(fyne.KeyR) }, "REASON", func(s *sitting) { s.write("slip"); s.press(fyne.KeyReturn) }},
	} {
		for spot, key := range map[string]fyne.KeyName{"RED": fyne.KeyL, "BLACK": fyne.KeyK, "SHOWS": fyne.KeyM} {
			s := column(t)
			s.tipsAt("g1:+", "x11:1")
			s.ctrl(key)
			if open.do(s); s.where() != open.in {
				t.Fatalf("%s: the caret is in %s", open.name, s.where())
			}
			if open.end(s); s.where() != spot {
				t.Errorf("%s from %s: the caret is in %s", open.name, spot, s.where())
			}
		}
	}
}

// TestWhatIsTypedForAFileIsKeptForIt: another file is opened, and this one again.
func TestWhatIsTypedForAFileIsKeptForIt(t *testing.T) {
	s := column(t)
	first, second := s.desk.View().Path, demoFile(t)
	open := func(path string) {
		s.desk.Open(path, func(err error) {
			if err != nil {
				t.Fatal(err)
			}
		})
	}
	s.ctrl(fyne.KeyK)
	s.write("x99")
	s.ctrl(fyne.KeyM)
	s.write("24 V")
	if got := strings.Join(s.bench.HalfTyped(), "; "); got != "“24 V” (what the meter shows); “x99” (where the black tip is)" {
		t.Errorf("half typed are %s", got)
	}
	open(second)
	if s.bench.panel.value.Text != "" || !strings.Contains(s.desk.Notice().Text, "“24 V”") {
		t.Errorf("in the other file SHOWS holds %q; said %q", s.bench.panel.value.Text, s.desk.Notice().Text)
	}
	open(first)
	if s.bench.panel.value.Text != "24 V" || s.bench.panel.leads[session.Black].entry.Text != "x99" {
		t.Errorf("back again SHOWS holds %q, BLACK %q", s.bench.panel.value.Text, s.bench.panel.leads[session.Black].entry.Text)
	}
}

func ref(t *testing.T, text string) model.TerminalRef {
	t.Helper()
	r, err := model.ParseTerminalRef(text)
	if err != nil {
		t.Fatal(err)
	}
	return r
}
