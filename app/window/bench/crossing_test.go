package bench

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"pgregory.net/rapid"

	"bellout/app/session"
	"bellout/app/window/look"
	"bellout/model"
)

// TestAValueIsNeverAPlace: letters of the meter that land in a lead's field go
// under SHOWS, and nothing is stored or moved before Enter is pressed again.
func TestAValueIsNeverAPlace(t *testing.T) {
	for _, leave := range []string{"Enter", "Tab"} {
		s := column(t)
		for _, value := range []string{"s", "b", "beep", "OL", "12", "4,7k", "11.98V", "silent", "220 rising"} {
			s.tipsAt("g1:+", "x11:1")
			s.ctrl(fyne.KeyK)
			before := s.readings()
			s.write(value)
			if leave == "Enter" {
				s.press(fyne.KeyReturn)
			} else {
				test.FocusNext(s.window.Canvas())
			}
			p := s.bench.panel
			if s.readings() != before || s.desk.Tip(session.Black).String() != "X11:1" || p.leads[session.Black].entry.Text != "X11:1" || p.value.Text != value {
				t.Fatalf("%s %s: black %s, field %q, SHOWS %q, %d stored", value, leave, s.desk.Tip(session.Black), p.leads[session.Black].entry.Text, p.value.Text, s.readings()-before)
			}
			s.ctrl(fyne.KeyM)
			s.press(fyne.KeyReturn)
			if s.readings() == before { // one more of the same place, or ohms on what is live: asked once
				s.press(fyne.KeyReturn)
			}
			if r := s.newest(); s.readings() != before+1 || r.Red.String() != "G1:+" || r.Black.String() != "X11:1" {
				t.Fatalf("%s %s: stored %d, %+v; said %q", value, leave, s.readings()-before, r, s.said())
			}
		}
	}
}

func TestWhateverIsTypedForALeadStoresNothing(t *testing.T) {
	s := column(t)
	rapid.Check(t, func(r *rapid.T) {
		typed := rapid.StringMatching(`[bsBS0-9.,kMVOL~: ]{1,6}`).Draw(r, "typed")
		before := s.readings()
		p := s.bench.panel
		p.value.SetText("")
		s.ctrl(fyne.KeyL)
		p.leads[session.Red].entry.SetText(typed)
		s.press(fyne.KeyReturn)
		if s.readings() != before {
			r.Fatalf("%q in a lead's field stored a reading", typed)
		}
		if entry, err := session.ReadEntry(typed); err == nil && entry.Note == "" && p.value.Text != strings.TrimSpace(typed) {
			r.Fatalf("%q did not come under SHOWS: %q", typed, p.value.Text)
		}
		s.press(fyne.KeyEscape, fyne.KeyEscape)
	})
}

func TestAPlaceThatIsTypedForTheValueGoesToItsLead(t *testing.T) {
	s := column(t)
	s.write("g1:+")
	s.press(fyne.KeyReturn)
	s.write("X11:1")
	s.press(fyne.KeyReturn)
	if red, black := s.desk.Tip(session.Red).String(), s.desk.Tip(session.Black).String(); red != "G1:+" || black != "X11:1" {
		t.Errorf("red is on %s, black on %s", red, black)
	}
	s.ctrl(fyne.KeyL)
	s.write("g2:+")
	s.press(fyne.KeyReturn, fyne.KeyReturn) // over the black tip, which stays
	s.write("x1:1 ")                        // no reading and no terminal
	s.press(fyne.KeyReturn)
	if s.bench.panel.said.kind != saidWrong || s.desk.Tip(session.Red).String() != "G2:+" {
		t.Errorf("said %q, red on %s", s.said(), s.desk.Tip(session.Red))
	}
	s.bench.panel.value.SetText("g3:+")
	s.press(fyne.KeyReturn)
	if red, black := s.desk.Tip(session.Red).String(), s.desk.Tip(session.Black).String(); red != "G2:+" || black != "G3:+" || !strings.Contains(s.said(), "black") || !strings.Contains(s.said(), "X11:1") {
		t.Errorf("a place under SHOWS moved red to %s, black to %s; said %q", red, black, s.said())
	}
}

func TestACompletionIsUnmistakable(t *testing.T) {
	s := column(t)
	s.ctrl(fyne.KeyL)
	s.write("j6:")
	s.press(fyne.KeyReturn)
	at := s.desk.Tip(session.Red).String()
	if s.bench.panel.said.kind != saidCaution || !strings.Contains(s.said(), "“j6:” was completed") || !strings.Contains(s.said(), at) {
		t.Errorf("said %q", s.said())
	}
	if words := s.board(); !strings.Contains(words, "completed from “j6:”") {
		t.Errorf("the board says %q", words)
	}
	s.ctrl(fyne.KeyL)
	s.write("j6a2")
	s.press(fyne.KeyReturn)
	if strings.Contains(s.board()+s.said(), "completed") {
		t.Error("what was typed exactly is called completed")
	}
}

func TestAFieldAndTheLargeTypeAgree(t *testing.T) {
	s := column(t)
	s.lay(s.bench.Alone(), fyne.NewSize(1200, 800))
	s.tipsAt("g1:+", "x11:1")
	s.ctrl(fyne.KeyK)
	s.write("J8")
	test.FocusNext(s.window.Canvas())
	for _, object := range []func() fyne.CanvasObject{nil, s.bench.Object} {
		if object != nil { // as Escape leaves the bench alone
			s.lay(object(), fyne.NewSize(440, 820))
		}
		words := s.board()
		if !strings.Contains(words, "J8") || !strings.Contains(words, "not found") || strings.Contains(words, "X11:1") {
			t.Errorf("the field holds %q, the board says %q", s.bench.panel.leads[session.Black].entry.Text, words)
		}
		if s.bench.panel.said.kind != saidWrong || !strings.Contains(s.said(), "J8") {
			t.Errorf("the error went: %q", s.said())
		}
	}
	s.ctrl(fyne.KeyK)
	s.press(fyne.KeyEscape)
	if words := s.board(); !strings.Contains(words, "X11:1") || strings.Contains(words, "J8") || s.bench.panel.said.kind == saidWrong {
		t.Errorf("after Esc the board says %q, below %q", words, s.said())
	}
}

func TestARefusedValueIsWrittenOver(t *testing.T) {
	s := column(t)
	s.press(fyne.KeyReturn)
	s.write("4;7k rising")
	s.press(fyne.KeyReturn)
	if s.bench.panel.value.SelectedText() != "4;7k rising" {
		t.Errorf("marked is %q", s.bench.panel.value.SelectedText())
	}
	s.write("4,7k rising")
	if got := s.bench.panel.value.Text; got != "4,7k rising" {
		t.Fatalf("the field holds %q", got)
	}
	s.press(fyne.KeyReturn)
	if r := s.newest(); r.Value.Number != 4700 || r.Drift != model.DriftRising {
		t.Errorf("stored %+v", r)
	}
	s.write("zz")
	s.press(fyne.KeyReturn, fyne.KeyF8)
	if value := s.bench.panel.value; value.Text != "zz" || value.SelectedText() != "zz" {
		t.Errorf("with the tips changed the refused value is %q, of which %q is marked", value.Text, value.SelectedText())
	}
	s.write("4.7k")
	if got := s.bench.panel.value.Text; got != "4.7k" {
		t.Errorf("it is not written over: %q", got)
	}
}

func sitLike(t *testing.T, path string) *sitting {
	t.Helper()
	return sit(t, path, look.New(false, look.Near), fyne.NewSize(440, 820))
}
