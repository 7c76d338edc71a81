package bench

import (
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bellout/app/window/look"
)

// save writes what the window shows to a folder that BENCH_PICTURES names, for
// a person to look at.
func (s *sitting) save(name string) {
	s.t.Helper()
	folder := os.Getenv("BENCH_PICTURES")
	file, err := os.Create(filepath.Join(folder, name+".png"))
	if err != nil {
		s.t.Fatal(err)
	}
	if err := png.Encode(file, s.window.Canvas().Capture()); err != nil {
		s.t.Fatal(err)
	}
	if err := file.Close(); err != nil {
		s.t.Fatal(err)
	}
}

// TestSavePictures saves the bench in every theme and size, to be looked at.
func TestSavePictures(t *testing.T) {
	if os.Getenv("BENCH_PICTURES") == "" {
		t.Skip("BENCH_PICTURES names no folder to save pictures to")
	}
	for _, dark := range []bool{false, true} {
		for _, size := range []look.TextSize{look.Near, look.ArmsLength, look.AcrossTheBench} {
			name := "day"
			if dark {
				name = "night"
			}
			name += string(rune('0' + size))
			s := sit(t, demoFile(t), look.New(dark, size), fyne.NewSize(440, 820))
			s.save(name + "-1proposed")
			s.press(fyne.KeyReturn)
			s.save(name + "-2taken")
			s.write("s")
			s.press(fyne.KeyReturn)
			s.save(name + "-3logged")
			s.ctrl(fyne.KeyL)
			s.write("x1")
			s.save(name + "-4list")
			s.write("1:1")
			s.press(fyne.KeyReturn)
			s.ctrl(fyne.KeyK)
			s.write("g1:+")
			s.press(fyne.KeyReturn)
			s.write("OL")
			s.press(fyne.KeyReturn)
			s.save(name + "-5contradicts")
			s.press(fyne.KeyF9)
			s.write("unplugged J")
			s.save(name + "-6condition")
			s.press(fyne.KeyReturn)
			s.ctrl(fyne.KeyK)
			s.write("x99:1")
			s.press(fyne.KeyTab)
			test.FocusNext(s.window.Canvas())
			s.save(name + "-7unknown")
			s.press(fyne.KeyEscape)
			s.ctrl(fyne.KeyR)
			s.save(name + "-8strike")
			s.press(fyne.KeyEscape)
			s.tipsAt("g1:+", "g1:-")
			s.write("12V")
			s.press(fyne.KeyReturn, fyne.KeyReturn)
			s.save(name + "-live")
			s.lay(s.bench.Object(), fyne.NewSize(380*look.New(dark, size).Scale(), 510))
			s.save(name + "-low-live")
			s.press(fyne.KeyF12, fyne.KeyF12)
			s.save(name + "-low")
			s.restart()
			s.ctrl(fyne.KeyL)
			s.write("j6:")
			s.press(fyne.KeyReturn)
			s.save(name + "-restarted")
			s.ctrl(fyne.KeyL)
			s.write("s")
			s.press(fyne.KeyReturn)
			s.save(name + "-crossed")
			s.lay(s.bench.Alone(), fyne.NewSize(1400, 860))
			s.save(name + "-9alone-fresh")
			s.lay(s.bench.Object(), fyne.NewSize(600, 700))
			s.save(name + "-wide")
			s.lay(s.bench.Object(), fyne.NewSize(380, 900))
			s.save(name + "-narrow")
			s.lay(s.bench.Alone(), fyne.NewSize(1400, 860))
			s.save(name + "-9alone")
			s.press(fyne.KeyF6)
			s.save(name + "-9alone-taken")
		}
	}
}
