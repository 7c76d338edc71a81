package bench

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/app/window/room"
	"bellout/assets/lantern"
	"bellout/faults/judge"
	"bellout/model"
)

func TestFollowingAProposalCostsEnterValueEnter(t *testing.T) {
	s := column(t)
	for range 3 {
		before, probe := s.readings(), s.desk.View().Next.Probe
		s.press(fyne.KeyReturn)
		s.write("s")
		s.press(fyne.KeyReturn)
		if s.readings() != before+1 {
			t.Fatalf("%d readings after Enter, a value and Enter; want %d", s.readings(), before+1)
		}
		if r := s.newest(); r.Red != probe.Red || r.Black != probe.Black || r.Conditions.String() != probe.Conditions.String() {
			t.Fatalf("stored %+v, the proposal was %+v", r, probe)
		}
		if s.focused() != s.bench.panel.value {
			t.Fatal("the caret left the value field")
		}
	}
	if s.touches == 0 {
		t.Error("nobody asked whether the caution card was shown")
	}
}

func TestWalkingALeadCostsOneFieldAndTheValue(t *testing.T) {
	s := column(t)
	s.ctrl(fyne.KeyL)
	s.write("g1:+")
	s.press(fyne.KeyReturn)
	for _, black := range []string{"X11:1", "X11:2", "X11:3"} {
		before := s.readings()
		if s.focused() != s.bench.panel.leads[session.Black].entry {
			t.Fatalf("the caret is not in the black field before %s", black)
		}
		s.write(strings.ToLower(black))
		s.press(fyne.KeyReturn)
		s.write("b")
		s.press(fyne.KeyReturn)
		if s.readings() != before+1 {
			t.Fatalf("nothing stored for %s: %s", black, s.bench.panel.said.text.Text())
		}
		if r := s.newest(); r.Red.String() != "G1:+" || r.Black.String() != black {
			t.Fatalf("stored %s to %s, want G1:+ to %s", r.Red, r.Black, black)
		}
	}
}

func TestTheNextPinIsOneArrowAway(t *testing.T) {
	s := column(t)
	s.ctrl(fyne.KeyK)
	s.write("j6:a1")
	s.press(fyne.KeyReturn)
	s.ctrl(fyne.KeyK)
	s.press(fyne.KeyDown, fyne.KeyReturn)
	if got := s.desk.Tip(session.Black).String(); got != "J6:A2" {
		t.Errorf("Down and Enter after J6:A1 put the tip on %s", got)
	}
}

func TestAListIsWalkedWithoutLosingTheCaret(t *testing.T) {
	s := column(t)
	s.ctrl(fyne.KeyL)
	s.write("x11:")
	list := s.bench.panel.choices
	if !list.open() || list.items[0].text != "X11:1" {
		t.Fatalf("the list shows %v", list.items)
	}
	s.press(fyne.KeyDown, fyne.KeyDown, fyne.KeyUp)
	if s.focused() != s.bench.panel.leads[session.Red].entry {
		t.Error("the list took the keyboard")
	}
	s.press(fyne.KeyReturn)
	if got := s.desk.Tip(session.Red).String(); got != "X11:2" || list.open() {
		t.Errorf("red is on %s, list open: %v", got, list.open())
	}
}

func TestAClickOnTheListTakesALine(t *testing.T) {
	s := column(t)
	s.ctrl(fyne.KeyL)
	s.write("x11:")
	row := s.bench.panel.choices.rows[3]
	row.MouseIn(nil)
	s.window.Canvas().Unfocus() // as the driver does on a click beside the field
	test.Tap(row)
	if got := s.desk.Tip(session.Red).String(); got != "X11:4" {
		t.Errorf("red is on %s, want X11:4", got)
	}
}

func TestBadInputLosesNothing(t *testing.T) {
	s := column(t)
	s.press(fyne.KeyReturn)
	before := s.readings()
	s.write("12..5 note")
	s.press(fyne.KeyReturn)
	p := s.bench.panel
	if p.value.Text != "12..5 note" || p.said.kind != saidWrong || s.readings() != before {
		t.Errorf("value %q, said %q, %d new readings", p.value.Text, p.said.text.Text(), s.readings()-before)
	}
	s.ctrl(fyne.KeyK)
	s.write("x99:1")
	test.FocusNext(s.window.Canvas())
	if black := p.leads[session.Black].entry.Text; black != "x99:1" || !strings.Contains(p.said.text.Text(), "did you mean") {
		t.Errorf("black field %q, said %q", black, p.said.text.Text())
	}
	if p.value.Text != "12..5 note" {
		t.Errorf("the value became %q", p.value.Text)
	}
	s.ctrl(fyne.KeyM)
	s.press(fyne.KeyReturn)
	if s.focused() != p.leads[session.Black].entry || s.readings() != before {
		t.Error("Enter with an unknown terminal did not lead back to it")
	}
	s.press(fyne.KeyEscape)
	if black := p.leads[session.Black].entry.Text; black != s.desk.Tip(session.Black).String() {
		t.Errorf("after Esc the field shows %q, the tip is on %s", black, s.desk.Tip(session.Black))
	}
}

// TestAValueIsNotStoredForTheWrongPlace: the screen proposes a new place while
// the tips are still noted on the old one.
func TestAValueIsNotStoredForTheWrongPlace(t *testing.T) {
	s := column(t)
	s.press(fyne.KeyReturn)
	s.write("s")
	s.press(fyne.KeyReturn)
	before, probe := s.readings(), s.desk.View().Next.Probe
	s.write("OL")
	s.press(fyne.KeyReturn)
	if s.readings() != before || s.bench.panel.value.Text != "OL" || s.bench.panel.said.kind != saidCaution {
		t.Fatalf("stored without asking, or lost: %q, said %q", s.bench.panel.value.Text, s.bench.panel.said.text.Text())
	}
	s.press(fyne.KeyF6, fyne.KeyReturn)
	if r := s.newest(); s.readings() != before+1 || r.Red != probe.Red || r.Value.Kind != model.ShowsOL {
		t.Errorf("F6 and Enter stored %+v, want OL at %s", r, probe.Red)
	}
	s.write("OL")
	s.press(fyne.KeyReturn, fyne.KeyReturn)
	if r := s.newest(); s.readings() != before+2 || r.Red != probe.Red {
		t.Errorf("Enter again stored %+v, want one more reading of the old place", r)
	}
}

func TestTakenBackItIsMadeAgain(t *testing.T) {
	s := column(t)
	s.press(fyne.KeyReturn)
	s.write("b")
	s.press(fyne.KeyReturn)
	wrong := s.newest()
	s.ctrl(fyne.KeyU)
	if r, _ := s.desk.Machine().Reading(wrong.Number); r.Stands() {
		t.Fatal("it still stands")
	}
	if now := s.bench.touch(); now.stage != byHand || now.tips[session.Red] != wrong.Red {
		t.Fatalf("after it the bench is about %+v, want the same touch", now)
	}
	s.write("s")
	s.press(fyne.KeyReturn)
	if r := s.newest(); r.Number == wrong.Number || r.Red != wrong.Red || r.Value.Kind != model.ShowsSilent {
		t.Errorf("stored %+v", r)
	}
}

func TestSkipBringsAnotherProbe(t *testing.T) {
	for _, takenFirst := range []bool{false, true} {
		s := column(t)
		before := *s.desk.View().Next.Probe
		if takenFirst {
			s.press(fyne.KeyReturn)
		}
		s.press(fyne.KeyF7)
		next := s.desk.View().Next
		if next == nil || next.Probe == nil || next.Probe.Red == before.Red && next.Probe.Black == before.Black && next.Probe.Conditions.String() == before.Conditions.String() {
			t.Fatalf("skipped %+v, now %+v", before, next)
		}
		if now := s.bench.touch(); now.stage != proposed || now.tips[session.Red] != next.Probe.Red {
			t.Errorf("taken first %v: the bench is about %+v, want the next proposal", takenFirst, now)
		}
	}
}

func TestConditionsHoldUntilTheirCrossIsPressed(t *testing.T) {
	s := column(t)
	s.press(fyne.KeyF9)
	s.write("J4")
	if list := s.bench.panel.choices; !list.open() || list.items[0].text != "unplugged J4" {
		t.Fatalf("the list shows %v", list.items)
	}
	s.press(fyne.KeyReturn)
	for _, black := range []string{"x11:1", "x11:2"} {
		s.ctrl(fyne.KeyL)
		s.write("g1:+")
		s.press(fyne.KeyReturn)
		s.ctrl(fyne.KeyK)
		s.write(black)
		s.press(fyne.KeyReturn)
		s.write("b")
		s.press(fyne.KeyReturn)
		if got := s.newest().Conditions.String(); got != "unplugged J4" {
			t.Fatalf("stored under %q", got)
		}
	}
	held := s.bench.panel.conditions.chips.Objects[0].(*chip)
	if held.text.Text != "J4 is unplugged" {
		t.Errorf("the chip says %q", held.text.Text)
	}
	test.Tap(held)
	if len(s.desk.Conditions()) != 0 {
		t.Errorf("still held: %s", s.desk.Conditions())
	}
	s.press(fyne.KeyF9)
	s.write("lifted W12")
	s.press(fyne.KeyReturn, fyne.KeyF9, fyne.KeyBackspace)
	if len(s.desk.Conditions()) != 0 {
		t.Errorf("Backspace on the empty line left %s", s.desk.Conditions())
	}
	s.write("unplugged NOPE; lifted W12")
	s.press(fyne.KeyReturn)
	if text := s.bench.panel.conditions.line.Text; text != "unplugged NOPE; lifted W12" || len(s.desk.Conditions()) != 0 {
		t.Errorf("an unknown device: the line holds %q, conditions %s", text, s.desk.Conditions())
	}
}

func TestAContradictionLeadsToItsFinding(t *testing.T) {
	s := column(t)
	s.ctrl(fyne.KeyL)
	s.write("g1:+")
	s.press(fyne.KeyReturn)
	s.write("x11:1")
	s.press(fyne.KeyReturn)
	s.write("b")
	s.press(fyne.KeyReturn, fyne.KeyReturn) // the black field, unchanged
	s.write("OL")
	s.press(fyne.KeyReturn)
	if s.bench.panel.said.kind == saidCaution {
		s.press(fyne.KeyReturn)
	}
	outcome := s.desk.Outcome()
	if outcome == nil || outcome.Outcome != judge.Contradicts {
		t.Fatalf("OL after a beep means %+v", outcome)
	}
	if words := read(s.bench.panel.upper); !strings.Contains(words, "CONTRADICTS") {
		t.Errorf("the board says %q", words)
	}
	s.ctrl(fyne.KeyJ)
	selection := s.desk.Selection()
	if len(s.went) != 1 || s.went[0] != room.Findings || selection.Kind != session.Finding {
		t.Fatalf("went to %v, looks at %+v", s.went, selection)
	}
	finding := s.desk.View().Report.Findings[selection.Finding]
	if !strings.Contains(strings.Join(finding.Wires, " "), "W23") {
		t.Errorf("it leads to %+v, which is not about W23", finding)
	}
}

// read returns every word that an object shows.
func read(object fyne.CanvasObject) string {
	var words []string
	for _, o := range test.LaidOutObjects(object) {
		if text := textOf(o); text != "" {
			words = append(words, text)
		}
	}
	return strings.Join(words, " ")
}

func TestStrikingOutAsksForAReason(t *testing.T) {
	s := column(t)
	s.press(fyne.KeyReturn)
	s.write("b")
	s.press(fyne.KeyReturn)
	number := s.newest().Number
	s.bench.panel.readings.Select(0) // as a click does
	if s.focused() != s.bench.panel.readings {
		t.Fatal("the chosen line has not got the keyboard")
	}
	s.press(fyne.KeyDelete, fyne.KeyReturn)
	if r, _ := s.desk.Machine().Reading(number); !r.Stands() || s.bench.panel.said.kind != saidWrong {
		t.Fatalf("struck out without a reason, or nothing said: %q", s.bench.panel.said.text.Text())
	}
	s.write("tip slipped")
	s.press(fyne.KeyReturn)
	if r, _ := s.desk.Machine().Reading(number); r.Struck != "tip slipped" {
		t.Errorf("reading %d is struck out for %q", number, r.Struck)
	}
	if s.bench.panel.strike.field.Visible() {
		t.Error("the field for the reason is still there")
	}
}

func TestVoltsOnTheMainsSideAreNotAskedFor(t *testing.T) {
	s := column(t)
	s.ctrl(fyne.KeyL)
	s.write("x1:l")
	s.press(fyne.KeyReturn)
	s.write("x1:n")
	s.press(fyne.KeyReturn)
	before := s.readings()
	s.write("230V~")
	if s.bench.panel.said.text.Text() != judge.MainsCaution {
		t.Errorf("while it is typed the bench says %q", s.bench.panel.said.text.Text())
	}
	s.press(fyne.KeyReturn)
	if s.readings() != before {
		t.Error("volts on the mains side were stored without a word")
	}
}

func TestVoltsBringTheLiveCaution(t *testing.T) {
	s := column(t)
	s.ctrl(fyne.KeyL)
	s.write("g1:+")
	s.press(fyne.KeyReturn)
	s.write("g1:-")
	s.press(fyne.KeyReturn)
	s.write("23.9V")
	if said := s.bench.panel.said; said.kind != saidCaution || !strings.Contains(said.text.Text(), "live test") {
		t.Errorf("volts bring %q", said.text.Text())
	}
	if words := read(s.bench.panel.upper); !strings.Contains(words, "24 V") {
		t.Errorf("what a good machine shows is not the volts: %q", words)
	}
}

func TestNothingTypedIsLostWithTheTheme(t *testing.T) {
	s := column(t)
	s.press(fyne.KeyReturn)
	s.ctrl(fyne.KeyK)
	s.write("gate hou")
	s.ctrl(fyne.KeyM)
	s.write("4.7k stea")
	s.build()
	s.lay(s.bench.Object(), fyne.NewSize(440, 820))
	p := s.bench.panel
	if p.value.Text != "4.7k stea" || p.leads[session.Black].entry.Text != "gate hou" {
		t.Errorf("value %q, black %q", p.value.Text, p.leads[session.Black].entry.Text)
	}
	s.lay(s.bench.Alone(), fyne.NewSize(1200, 800))
	if got := s.bench.panel.value.Text; got != "4.7k stea" || s.bench.panel == p {
		t.Errorf("alone in the window the value is %q", got)
	}
}

func TestWithoutAMachineItSaysWhatToDo(t *testing.T) {
	for _, c := range []struct{ name, path, says string }{
		{"no file", "", "Open one"},
		{"an empty machine", lantern.FileOf(t), "Add a supply"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := sit(t, c.path, look.New(false, look.Near), fyne.NewSize(440, 820))
			if words := read(s.bench.panel.upper); !strings.Contains(words, c.says) {
				t.Errorf("it says %q", words)
			}
			if !s.bench.panel.value.Disabled() {
				t.Error("a value can be typed that nothing can store")
			}
			test.Tap(s.bench.panel.take) // neither it nor its key does anything
			s.keys.Press(keys.Plain(fyne.KeyF6))
			if !s.bench.panel.take.Off || s.touches > 0 {
				t.Error("something can be taken")
			}
		})
	}
}

func TestAFileForReadingOnlySaysSo(t *testing.T) {
	view := column(t).desk.View()
	if why := refusedBy(view); why != "" {
		t.Fatalf("a file that can be written is refused: %s", why)
	}
	view.ReadOnly, view.Why = true, "another program is writing to the file"
	why := refusedBy(view)
	for _, words := range []string{"reading only", view.Why, "save a copy"} {
		if !strings.Contains(why, words) {
			t.Errorf("%q does not say %q", why, words)
		}
	}
}

func TestAClickGivesTheKeyboardBack(t *testing.T) {
	s := column(t)
	p := s.bench.panel
	s.press(fyne.KeyReturn)
	for name, click := range map[string]func(){
		"swap": func() { test.Tap(p.swap) }, "a goal": func() { test.Tap(p.goals.list[2]) }, "a cross": func() { test.Tap(p.conditions.chips.Objects[0].(*chip)) },
	} {
		s.window.Canvas().Unfocus() // as the driver does on a click beside a field
		click()
		if s.focused() != p.value {
			t.Errorf("after a click on %s the keyboard is at %v", name, s.focused())
		}
	}
}
