package drawing

import (
	"strings"
	"unicode/utf8"
)

// Wrap breaks text into lines of at most a width, between words, after the signs
// that names are built with, and in the middle of a word where it is longer than a
// line. At most so many lines are returned; the last then ends in an ellipsis.
func Wrap(text string, size float64, face Face, width float64, most int) []string {
	text = Clean(text)
	if Measure(text, size, face) <= width+1e-6 {
		return []string{text}
	}
	var lines []string
	for _, part := range strings.Fields(text) {
		for _, word := range pieces(part, size, face, width) {
			last := len(lines) - 1
			if last >= 0 && Measure(lines[last]+word.join+word.text, size, face) <= width {
				lines[last] += word.join + word.text
				continue
			}
			lines = append(lines, word.text)
			if len(lines) > most {
				lines = lines[:most]
				lines[most-1] = cutOff(lines[most-1], size, face, width)
				return lines
			}
		}
	}
	if len(lines) == 0 {
		return []string{""}
	}
	return lines
}

// cutOff ends a line that fits in an ellipsis, to say that more would follow.
func cutOff(line string, size float64, face Face, width float64) string {
	for line != "" && Measure(line+ellipsis, size, face) > width {
		_, last := utf8.DecodeLastRuneInString(line)
		line = line[:len(line)-last]
	}
	return line + ellipsis
}

// piece is a part of a text that is not broken; join stands before it if it goes
// on in the same line.
type piece struct{ join, text string }

// pieces cuts a word that is longer than a line.
func pieces(word string, size float64, face Face, width float64) []piece {
	list := []piece{{" ", word}}
	for Measure(list[len(list)-1].text, size, face) > width {
		last := &list[len(list)-1]
		cut := headOf(last.text, size, face, width)
		if cut >= len(last.text) {
			break
		}
		rest := last.text[cut:]
		last.text = last.text[:cut]
		list = append(list, piece{"", rest})
	}
	return list
}

// headOf is how many bytes of a word fit, at least one letter; where one of the
// signs that names are built with stands in the latter half, it ends after that.
func headOf(word string, size float64, face Face, width float64) int {
	used, cut, after := 0.0, 0, 0
	for i, r := range word {
		used += Measure(string(r), size, face)
		if used > width && i > 0 {
			break
		}
		cut = i + utf8.RuneLen(r)
		if strings.ContainsRune(":-/_,;.+", r) {
			after = cut
		}
	}
	if after > cut/2 && cut < len(word) {
		return after
	}
	if cut == 0 {
		return len(word)
	}
	return cut
}
