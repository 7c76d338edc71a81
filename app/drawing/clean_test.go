package drawing

import (
	"testing"
	"unicode"
	"unicode/utf8"

	"pgregory.net/rapid"
)

func TestClean(t *testing.T) {
	for _, c := range []struct{ what, text, want, legible string }{
		{"plain text", "X20:1", "X20:1", "X20:1"},
		{"a composed accent", "e\u0301", "é", "é"},
		{"the ohm sign is the letter", "\u2126", "Ω", "Ω"},
		{"the micro sign stays", "µ", "µ", "µ"},
		{"breaks and tabs", "a\tb\r\nc\nd\u2028e", "a b c d e", "a b c d e"},
		{"bytes that are no UTF-8", "a\xff\xfeb", "a\ufffd\ufffdb", "a\ufffd\ufffdb"},
		{"a direction switch", "\u202eevil", "\u202eevil", "[202E]evil"},
		{"a bell", "\x07", "\x07", "[0007]"},
		{"a joiner", "👩\u200d🔧", "👩\u200d🔧", "👩[200D]🔧"},
		{"a private one", "\ue000", "\ue000", "[E000]"},
		{"one that is none", "\U0010ffff", "\U0010ffff", "[10FFFF]"},
		{"another script", "עברית", "עברית", "עברית"},
	} {
		if got := Clean(c.text); got != c.want {
			t.Errorf("%s: Clean(%q) = %q, want %q", c.what, c.text, got, c.want)
		}
		if got := Legible(c.text); got != c.legible {
			t.Errorf("%s: Legible(%q) = %q, want %q", c.what, c.text, got, c.legible)
		}
	}
}

func TestCleanTextIsSafe(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := texts().Draw(t, "text")
		clean := Clean(text)
		if !utf8.ValidString(clean) {
			t.Fatalf("%q is no UTF-8", clean)
		}
		if again := Clean(clean); again != clean {
			t.Fatalf("clean %q becomes %q", clean, again)
		}
		if text != "" && clean == "" {
			t.Fatalf("%q was dropped", text)
		}
		for _, r := range Legible(text) {
			if unicode.In(r, unicode.Cc, unicode.Cf, unicode.Co) {
				t.Fatalf("%q still acts", Legible(text))
			}
		}
		for _, r := range clean {
			for face := Regular; face <= MonoBold; face++ {
				glyph := Look(r, face)
				if glyph.Source == StandIn && (glyph.Advance <= 0 || len(Outline(r, face)) == 0) {
					t.Fatalf("%U is not seen in face %d", r, face)
				}
				if acts(r) && glyph.Source != StandIn {
					t.Fatalf("%U acts and is drawn as a letter", r)
				}
			}
		}
	})
}
