package faults

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// headlineRunes bounds a headline: it stays below.
const headlineRunes = 80

// leastName is how short a long name is cut in a headline.
const leastName = 10

// headline writes one line with names in it (%s, in order), under headlineRunes
// characters: where it does not fit, the longest names are cut in the middle.
func headline(format string, names ...string) string {
	for {
		arguments := make([]any, len(names))
		longest := 0
		for i, name := range names {
			arguments[i] = name
			if utf8.RuneCountInString(name) > utf8.RuneCountInString(names[longest]) {
				longest = i
			}
		}
		line := fmt.Sprintf(format, arguments...)
		over := utf8.RuneCountInString(line) - headlineRunes + 1
		if over <= 0 {
			return line
		}
		if len(names) == 0 || utf8.RuneCountInString(names[longest]) <= leastName {
			return cut(line, headlineRunes-1)
		}
		names = append([]string{}, names...)
		names[longest] = cut(names[longest], max(leastName, utf8.RuneCountInString(names[longest])-over))
	}
}

// cut shortens a text to so many characters, and shows that it did.
func cut(text string, runes int) string {
	list := []rune(text)
	if len(list) <= runes {
		return text
	}
	head := (runes - 1) * 2 / 3
	return strings.TrimSpace(string(list[:head])) + "…" + strings.TrimSpace(string(list[len(list)-(runes-1-head):]))
}
