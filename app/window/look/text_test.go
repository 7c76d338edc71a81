package look

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"pgregory.net/rapid"
)

// TestAReferenceIsNeverCut: whatever its length, all of it stands in the width.
func TestAReferenceIsNeverCut(t *testing.T) {
	test.NewTempApp(t).Settings().SetTheme(New(false, AcrossTheBench))
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[A-Z0-9]{1,20}:[A-Z0-9.+-]{1,20}`).Draw(t, "reference")
		width := float32(rapid.IntRange(200, 500).Draw(t, "width"))
		f := NewFitted(text, 49, Now().Ink, fyne.TextStyle{Monospace: true, Bold: true})
		f.Resize(fyne.NewSize(width, f.MinSize().Height))
		if got := f.line.MinSize().Width; got > width || f.line.Text != text {
			t.Fatalf("%q is %v wide in %v, text %q", text, got, width, f.line.Text)
		}
	})
}

// TestProseKeepsEveryWord: wrapping loses and adds nothing, and no line of
// several words is too wide.
func TestProseKeepsEveryWord(t *testing.T) {
	test.NewTempApp(t).Settings().SetTheme(New(false, Near))
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`([a-zA-Z0-9%]{1,12} ){0,30}[a-z]{1,5}`).Draw(t, "text")
		width := float32(rapid.IntRange(60, 500).Draw(t, "width"))
		p := NewParagraph(text, 15, Now().Ink, fyne.TextStyle{})
		p.Resize(fyne.NewSize(width, 10))
		joined := ""
		for i, line := range p.lines {
			if i > 0 {
				joined += " "
			}
			joined += line.Text
			if len(bound(line.Text)) > 1 && line.MinSize().Width > width*1.03 {
				t.Fatalf("line %q is %v wide in %v", line.Text, line.MinSize().Width, width)
			}
		}
		if joined != text {
			t.Fatalf("%q became %q", text, joined)
		}
	})
}

func TestANumberStaysWithItsUnit(t *testing.T) {
	for _, c := range []struct {
		text string
		want []string
	}{
		{"likeliest (51 %) here", []string{"likeliest", "(51 %)", "here"}},
		{"under 0.1 ohm.", []string{"under", "0.1 ohm."}},
		{"ohm alone", []string{"ohm", "alone"}},
	} {
		got := bound(c.text)
		if len(got) != len(c.want) {
			t.Errorf("%q: %q, want %q", c.text, got, c.want)
			continue
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("%q: %q, want %q", c.text, got, c.want)
			}
		}
	}
}

// TestACutTextFitsAndKeepsAllThatFits: what is left, with the sign that something
// is missing, fits, and one letter more would not.
func TestACutTextFitsAndKeepsAllThatFits(t *testing.T) {
	test.NewTempApp(t).Settings().SetTheme(New(false, Near))
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[A-Za-z0-9 ]{1,60}`).Draw(t, "text")
		width := float32(rapid.IntRange(20, 500).Draw(t, "width"))
		wide := func(text string) float32 { return fyne.MeasureText(text, 15, fyne.TextStyle{}).Width }
		got := Cut(text, width, 15, fyne.TextStyle{})
		if got == text {
			if wide(text) > width {
				t.Fatalf("%q is not cut to %v", text, width)
			}
			return
		}
		kept := len([]rune(got)) - 1
		if wide(got) > width || wide(string([]rune(text)[:kept+1])+"\u2026") <= width {
			t.Fatalf("%q is cut to %q in %v", text, got, width)
		}
	})
}
