package layout

import (
	"strings"
	"unicode"
)

// clean makes one line of a text.
func clean(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, text)
}

// cut shortens a text to a width.
func (s *sheet) cut(text string, width float64) string {
	if s.measure(text, titleSize, false) <= width {
		return text
	}
	runes := []rune(text)
	for len(runes) > 0 {
		runes = runes[:len(runes)-1]
		short := strings.TrimRight(string(runes), " ,:") + "…"
		if s.measure(short, titleSize, false) <= width {
			return short
		}
	}
	return ""
}

// wrap breaks a text between words into so many lines at most.
func (s *sheet) wrap(text string, width float64, most int) []string {
	var lines []string
	line := ""
	words := strings.Fields(text)
	for i, word := range words {
		longer := strings.TrimSpace(line + " " + word)
		if line == "" || s.measure(longer, titleSize, false) <= width {
			line = longer
			continue
		}
		if len(lines) == most-1 {
			line += " " + strings.Join(words[i:], " ")
			break
		}
		lines = append(lines, s.cut(line, width))
		line = word
	}
	if line = s.cut(line, width); line != "" {
		lines = append(lines, line)
	}
	return lines
}
