package faults

import (
	"fmt"
	"strings"

	"bellout/faults/judge"
	"bellout/model/wording"
)

// eachOnce drops what stands in a list before; the order stays, and the result
// is never nil.
func eachOnce[T comparable](list []T) []T {
	once := make([]T, 0, len(list))
	seen := make(map[T]bool, len(list))
	for _, text := range list {
		if !seen[text] {
			seen[text] = true
			once = append(once, text)
		}
	}
	return once
}

// sentence begins a text with a capital where it begins with a word of the
// language; a name stays as the map writes it.
func sentence(text string) string {
	word, _, _ := strings.Cut(text, " ")
	switch word {
	case "the", "coil", "lamp", "motor", "speaker":
		return strings.ToUpper(text[:1]) + text[1:]
	}
	return text
}

// upperFirst begins a text with a capital.
func upperFirst(text string) string { return strings.ToUpper(text[:1]) + text[1:] }

// eitherText writes alternatives as a sentence does; past most it counts.
func eitherText(list []string, most int) string {
	switch {
	case len(list) < 2:
		return judge.ListText(list, most)
	case len(list) > most:
		return strings.Join(list[:most], ", ") + fmt.Sprintf(" or one of %d more", len(list)-most)
	default:
		return wording.Or(list)
	}
}
