package bench

import (
	"os"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bellout/app/window/look"
)

// contradict brings a bench to a reading that contradicts the map, with its
// finding, and a proposal below.
func (s *sitting) contradict() {
	s.ctrl(fyne.KeyL)
	s.write("g1:+")
	s.press(fyne.KeyReturn)
	s.write("f1:1")
	s.press(fyne.KeyReturn)
	s.write("b")
	s.press(fyne.KeyReturn, fyne.KeyReturn)
	s.write("OL")
	s.press(fyne.KeyReturn, fyne.KeyReturn)
}

// goOn begins the next touch after it, with something changed on the machine.
func (s *sitting) goOn() {
	s.contradict()
	s.press(fyne.KeyF9)
	s.write("unplugged J2")
	s.press(fyne.KeyReturn)
}

// TestPictures compares the bench with approved pictures: by day and by night,
// at both scales, and the whole window. They show a machine of five devices, so
// that they change with the bench and not with what is proposed on the demo.
func TestPictures(t *testing.T) {
	for _, c := range []struct {
		name  string
		dark  bool
		scale float32
		size  fyne.Size
		alone bool
		bring func(*sitting)
	}{
		{"day-proposed", false, 1, fyne.NewSize(440, 720), false, func(*sitting) {}},
		{"day-contradicts", false, 1, fyne.NewSize(440, 720), false, (*sitting).contradict},
		{"night-gone-on", true, 1, fyne.NewSize(380, 720), false, (*sitting).goOn},
		{"night-taken-double", true, 2, fyne.NewSize(380, 560), false, func(s *sitting) { s.press(fyne.KeyReturn) }},
		{"day-typed-volts", false, 1, fyne.NewSize(440, 720), false, func(s *sitting) {
			s.press(fyne.KeyReturn)
			s.write("24 V")
		}},
		{"day-list-double", false, 2, fyne.NewSize(380, 560), false, func(s *sitting) {
			s.ctrl(fyne.KeyK)
			s.write("basin")
			s.bench.panel.choices.over = 1 // as with the pointer on it: the list stays
		}},
		{"night-alone", true, 1, fyne.NewSize(1100, 700), true, (*sitting).contradict},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := sit(t, tablesFile(t, os.DirFS("testdata/basin")), look.New(c.dark, look.Near), c.size)
			s.window.Canvas().(test.WindowlessCanvas).SetScale(c.scale)
			if c.alone {
				s.lay(s.bench.Alone(), c.size)
			}
			c.bring(s)
			s.window.Canvas().Unfocus() // a caret blinks
			test.AssertRendersToImage(t, c.name+".png", s.window.Canvas())
		})
	}
}
