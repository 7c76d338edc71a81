package drawing

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// Clean returns text as it is drawn, measured and written to files: accents
// composed with their letters (so that "e" with a combining accent is one glyph),
// every line break and tab a blank, every byte that is no UTF-8 a U+FFFD. What
// else has no look, such as a control character or a switch of the writing
// direction, stays and is drawn as its boxed number: nothing is dropped and
// nothing takes effect. Clean of clean text is the same text. Plain text comes
// back as it is, without a copy.
func Clean(text string) string {
	if plain(text) {
		return text
	}
	text = strings.ReplaceAll(text, "\r\n", "\n")
	// Composing comes after the mending: a mark may follow a byte that is none.
	return norm.NFC.String(strings.Map(func(r rune) rune {
		switch r {
		case '\t', '\n', '\v', '\f', '\r', 0x85, 0x2028, 0x2029:
			return ' '
		}
		return r // utf8.RuneError for a byte that is no UTF-8: Map writes U+FFFD
	}, text))
}

// plain says that text is made of printable ASCII only.
func plain(text string) bool {
	for i := 0; i < len(text); i++ {
		if text[i] < ' ' || text[i] > '~' {
			return false
		}
	}
	return true
}

// Legible is Clean for places that show no glyphs of ours, such as the text
// behind a drawing that a reader selects and copies: characters that act instead
// of showing (controls, direction switches, private ones) are spelt out, as
// [202E], so that none acts there either.
func Legible(text string) string {
	text = Clean(text)
	if plain(text) {
		return text
	}
	var out strings.Builder
	for _, r := range text {
		if acts(r) {
			out.WriteString(spelt(r))
			continue
		}
		out.WriteRune(r)
	}
	return out.String()
}

// acts says that r changes what stands around it, or means nothing outside one
// program, instead of being a sign of its own. U+FFFD shows: it is a sign.
func acts(r rune) bool {
	return unicode.In(r, unicode.Cc, unicode.Cf, unicode.Cs, unicode.Co, unicode.Noncharacter_Code_Point)
}

// spelt writes the number of a character in brackets.
func spelt(r rune) string { return "[" + number(r) + "]" }

// hex is the number of a character as code charts print it, in four digits or,
// past 16 bits, six.
func number(r rune) string {
	const digits = "0123456789ABCDEF"
	count := 4
	if r > 0xFFFF {
		count = 6
	}
	out := make([]byte, count)
	for i := count - 1; i >= 0; i-- {
		out[i] = digits[r&0xF]
		r >>= 4
	}
	return string(out)
}

// lastWhole returns the length of the longest head of text that is at most n
// bytes long and does not part a letter from the marks that stand on it.
func lastWhole(text string, n int) int {
	for n > 0 && n < len(text) {
		r, _ := utf8.DecodeRuneInString(text[n:])
		if !unicode.Is(unicode.Mn, r) && utf8.RuneStart(text[n]) {
			break
		}
		n--
	}
	return n
}
