package bench

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"bellout/app/session"
	"bellout/model"
)

// beside is what stands beside the entry while something is typed.
func (s *sitting) beside() string {
	if head := s.bench.panel.said.head; !head.Hidden {
		return head.Text()
	}
	return ""
}

// TestWhatIsUnderstoodIsShownBeforeEnter: in the words in which it is stored then.
func TestWhatIsUnderstoodIsShownBeforeEnter(t *testing.T) {
	s := column(t)
	s.tipsAt("g1:+", "g1:-")
	for typed, want := range map[string]string{
		"24 V":          "24 V DC, live",
		"4.7 kohm":      "4.7 kohm",
		"12.5 k rising": "12.5 kohm, rising",
		"230 VAC":       "230 V AC, live",
		"0.02 V":        "0.02 V DC",
		"0.55 V diode":  "0.55 V, diode range",
		"b":             "beep",
		"no beep":       "silent",
		"0L":            "OL",
		"24 V lamp on":  "24 V DC, live, note “lamp on”",
		"1,200":         "\"1,200\": 1.2 or 1200? write one of the two",
		"-0.3":          "-0.3: volts or ohms? write -0.3 V, or -0.3 ohm where the leads were zeroed",
		"x11:1":         "a place: X11:1 for the black tip",
		"g":             "",
	} {
		s.ctrl(fyne.KeyM)
		s.bench.panel.value.TypedShortcut(&fyne.ShortcutSelectAll{})
		s.write(typed)
		if got := s.beside(); got != want {
			t.Errorf("%q: beside it stands %q, want %q", typed, got, want)
		}
		if before := s.readings(); strings.HasPrefix(want, "\"") || strings.HasPrefix(want, "-0.3:") {
			if s.press(fyne.KeyReturn); s.readings() != before || s.bench.panel.value.Text != typed || s.bench.panel.said.kind != saidWrong {
				t.Errorf("%q was stored, or lost: %q", typed, s.bench.panel.value.Text)
			}
		}
	}
	if s.bench.panel.value.SetText(""); s.beside() != "" {
		t.Errorf("beside an empty entry stands %q", s.beside())
	}
}

// TestWhatIsShownIsWhatIsStored: the words beside the entry are read back to what
// Enter stores.
func TestWhatIsShownIsWhatIsStored(t *testing.T) {
	s := column(t)
	for _, typed := range []string{"24 V", "350mV", "4k7", "2M2", "0.3R", "1.8 V~", "0,5", "OL", "silent"} {
		s.tipsAt("g1:+", "x11:1")
		s.desk.ProvenDead()
		s.write(typed)
		words := strings.TrimSuffix(s.beside(), ", live")
		before := s.readings()
		for s.readings() == before && s.bench.panel.value.Text != "" && s.bench.draft.confirmed == "" {
			s.press(fyne.KeyReturn)
		}
		if s.readings() == before { // asked about the place
			s.press(fyne.KeyReturn)
		}
		entry, err := session.ReadEntry(words)
		if r := s.newest(); err != nil || r.Value != entry.Value || r.Mode != entry.Mode {
			t.Errorf("%q shows %q and stores %s in %s, %v", typed, words, r.Value, r.Mode, err)
		}
	}
}

// TestABareNumberIsInTheRangeThatTheProbeAsksFor: 24 at a probe in volts was stored as
// 24 ohm.
func TestABareNumberIsInTheRangeThatTheProbeAsksFor(t *testing.T) {
	s := column(t)
	probe := *s.desk.View().Next.Probe
	probe.Mode, probe.Conditions = model.ModeVoltsDC, nil
	s.desk.TakeFor(probe, "To see whether it is fed.", "")
	s.ctrl(fyne.KeyM)
	s.write("23.9")
	if got := s.beside(); got != "23.9 V DC, live" {
		t.Errorf("beside it stands %q", got)
	}
	s.press(fyne.KeyReturn)
	if r := s.newest(); r.Mode != model.ModeVoltsDC || r.Value.Number != 23.9 {
		t.Errorf("stored %s in %s", r.Value, r.Mode)
	}
}
