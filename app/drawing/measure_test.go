package drawing

import (
	"math"
	"strings"
	"sync"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

// That the widths are those of the typefaces is seen from outside, by where a PDF
// reader finds words (specimen); here is what must hold among them.
func TestMeasure(t *testing.T) {
	for _, c := range []struct {
		what string
		got  float64
		want float64
	}{
		{"nothing", Measure("", 10, Regular), 0},
		{"a mono face has one width", Measure("iiiii", 10, Mono), Measure("WWWWW", 10, Mono)},
		{"also for signs of the fallback", Measure("→µ", 10, Mono), Measure("00", 10, Mono)},
		{"also in bold", Measure("i→µ", 10, MonoBold), Measure("000", 10, MonoBold)},
		{"width goes with size", Measure("X20:1", 24, Bold), 2 * Measure("X20:1", 12, Bold)},
		{"an accent is part of its letter", Measure("e\u0301", 10, Regular), Measure("é", 10, Regular)},
		{"a line break is a blank", Measure("a\r\nb", 10, Regular), Measure("a b", 10, Regular)},
		{"a face that is none is the regular one", Measure("abc", 10, 99), Measure("abc", 10, Regular)},
		{"a box in a mono face takes whole columns", math.Mod(Measure("א", 1, Mono), Measure("0", 1, Mono)), 0},
	} {
		if math.Abs(c.got-c.want) > 1e-6 {
			t.Errorf("%s: %g, want %g", c.what, c.got, c.want)
		}
	}
	if bold, regular := Measure("Wire list", 10, Bold), Measure("Wire list", 10, Regular); bold <= regular {
		t.Errorf("bold is %g wide, regular %g", bold, regular)
	}
}

func TestMeasureAllocatesNothing(t *testing.T) {
	for _, text := range []string{"X20:1 +24 V", "4.7 kΩ ±5 % → µF", "עברית 😀"} {
		Measure(text, 10, Regular)
		if count := testing.AllocsPerRun(100, func() { Measure(text, 10, Regular) }); count > 0 {
			t.Errorf("Measure(%q) allocates %g times", text, count)
		}
	}
}

func TestMeasureFromSeveralGoroutines(t *testing.T) {
	var group sync.WaitGroup
	widths := make([]float64, 8)
	for i := range widths {
		group.Go(func() {
			for r := rune(0); r < 0x3000; r += 7 {
				widths[i] += Measure(string(r), 1, Face(int(r)%Faces))
				Outline(r, Face(int(r)%Faces))
			}
		})
	}
	group.Wait()
	for i, width := range widths {
		if width != widths[0] {
			t.Errorf("goroutine %d measures %g, the first %g", i, width, widths[0])
		}
	}
}

// texts draws strings of letters, of what people write about wiring, and of
// anything at all, bytes that are no UTF-8 among it.
func texts() *rapid.Generator[string] {
	return rapid.OneOf(
		rapid.StringMatching(`[A-Z][0-9]{1,3}:[0-9A-Z+-]{1,4}`),
		rapid.StringOf(rapid.SampledFrom([]rune("aeiu 0O1Il8B.,Ωµμ±°→²éÅ\u0301\u0308\u200d\u202e\u2028\x00\t\n\rא漢😀\ufeff\ufffd"))),
		rapid.String(),
		rapid.Map(rapid.SliceOf(rapid.Byte()), func(b []byte) string { return string(b) }),
	)
}

func faces() *rapid.Generator[Face] { return rapid.SampledFrom([]Face{Regular, Bold, Mono, MonoBold}) }

func TestFitKeepsToItsWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, face := texts().Draw(t, "text"), faces().Draw(t, "face")
		size, width := rapid.Float64Range(0.1, 50).Draw(t, "size"), rapid.Float64Range(-1, 200).Draw(t, "width")
		fitted := Fit(text, size, face, width)
		if got := Measure(fitted, size, face); got > math.Max(width, 0)+1e-4*size {
			t.Fatalf("%q is %g wide", fitted, got)
		}
		clean := Clean(text)
		switch {
		case fitted == clean:
		case fitted == "":
			if Measure("…", size, face) <= width-1e-4*size {
				t.Fatalf("%q was cut to nothing though an ellipsis has room", text)
			}
		default:
			head, cut := strings.CutSuffix(fitted, "…")
			if !cut || !strings.HasPrefix(clean, head) {
				t.Fatalf("%q is no cut of %q", fitted, clean)
			}
			if Measure(clean, size, face) <= width-1e-4*size {
				t.Fatalf("%q was cut though it fits", text)
			}
		}
	})
}

func TestFitCutsAtTheLastLetterThatFits(t *testing.T) {
	for _, c := range []struct {
		text  string
		width float64
		want  string
	}{
		{"Upper basin", Measure("Upper basin", 10, Regular), "Upper basin"},
		{"Upper basin", Measure("Upper…", 10, Regular), "Upper…"},
		{"Upper basin", Measure("…", 10, Regular) - 0.1, ""},
		{strings.Repeat("W", 500), Measure("WW…", 10, Regular), "WW…"},
		{"ab\u0323\u0323\u0323cd", Measure("ab…", 10, Regular), "ab…"}, // the third mark does not come off its letter
		{"two\nlines", 1000, "two lines"},
	} {
		got := Fit(c.text, 10, Regular, c.width)
		if c.text[0] == 'a' { // which of its marks compose does not matter, that none is left alone does
			if r, _ := utf8.DecodeRuneInString(strings.TrimPrefix(got, "a")); r == '\u0323' {
				t.Errorf("Fit(%q) = %q parts a mark from its letter", c.text, got)
			}
			continue
		}
		if got != c.want {
			t.Errorf("Fit(%q, %g) = %q, want %q", c.text, c.width, got, c.want)
		}
	}
}

func BenchmarkMeasure(b *testing.B) {
	for b.Loop() {
		Measure("X20:1 → G5:−", 10, Regular)
	}
}
