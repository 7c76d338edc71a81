package textout

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Width returns how many characters of the line a text takes; paint takes none.
func Width(text string) int {
	width, painting := 0, false
	for _, r := range text {
		switch {
		case r == '\x1b':
			painting = true
		case painting:
			painting = r != 'm'
		default:
			width++
		}
	}
	return width
}

// clean replaces what would move the cursor or turn the reading direction: a
// title that was read from a file must do neither. The page's own paint stays.
func (p *Page) clean(text string) string {
	if strings.IndexFunc(text, unruly) < 0 {
		return text
	}
	var out strings.Builder
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRuneInString(text[i:])
		switch {
		case r == '\x1b' && p.colour && paintAt(text[i:]) > 0:
			size = paintAt(text[i:])
			out.WriteString(text[i : i+size])
		case r == '\n' || r == '\t':
			out.WriteByte(' ')
		case unruly(r):
			out.WriteByte('?')
		default:
			out.WriteRune(r)
		}
		i += size
	}
	return out.String()
}

func unruly(r rune) bool {
	return r == utf8.RuneError || unicode.IsControl(r) || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069
}

// wrap breaks a text at its spaces into lines of at most width characters; a
// word longer than that is cut. There is always one line.
func wrap(text string, width int) []string {
	width = max(width, 8)
	lines := []string{}
	line, used := "", 0
	for _, word := range pieces(text) {
		for Width(word) > width {
			room := width
			if used > 0 {
				lines, line, used = append(lines, line), "", 0
			}
			head, tail := cut(word, room)
			lines, word = append(lines, head), tail
		}
		if word == "" {
			continue
		}
		wide := Width(word)
		switch {
		case used == 0:
			line, used = word, wide
		case used+1+wide <= width:
			line, used = line+" "+word, used+1+wide
		default:
			lines = append(lines, line)
			line, used = word, wide
		}
	}
	if used > 0 || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines
}

// cut splits a word after so many characters, after a comma or a slash before
// that where there is one.
func cut(word string, characters int) (head, tail string) {
	at, seen, good := 0, 0, 0
	for i, r := range word {
		if seen == characters {
			break
		}
		seen++
		at = i + utf8.RuneLen(r)
		if r == ',' || r == '/' {
			good = at
		}
	}
	if good > 0 {
		at = good
	}
	return word[:at], word[at:]
}

// pieces are the words of a text; a number and its unit are one, so that no line
// breaks between them.
func pieces(text string) []string {
	words := strings.Fields(text)
	kept := words[:0]
	for _, word := range words {
		last := len(kept) - 1
		if last >= 0 && isUnit(word) && endsInDigit(kept[last]) {
			kept[last] += " " + word
			continue
		}
		kept = append(kept, word)
	}
	return kept
}

func isUnit(word string) bool {
	switch strings.TrimRight(word, ".,;:)") {
	case "%", "V", "A", "ohm", "kohm", "Mohm":
		return true
	}
	return false
}

func endsInDigit(word string) bool {
	last := word[len(word)-1]
	return last >= '0' && last <= '9'
}
