// Package typed turns what a person types in one line into an edit of the map:
// a device from a template, a wire between two terminals. It knows no window.
package typed

import (
	"fmt"
	"strings"
)

// words splits a line at blanks; what stands between double quotes is one word.
func words(line string) ([]string, error) {
	var list []string
	var word strings.Builder
	quoted, begun := false, false
	for _, r := range line {
		switch {
		case r == '"':
			quoted = !quoted
			begun = true
		case (r == ' ' || r == '\t') && !quoted:
			if begun {
				list = append(list, word.String())
				word.Reset()
				begun = false
			}
		default:
			word.WriteRune(r)
			begun = true
		}
	}
	if quoted {
		return nil, fmt.Errorf(`a quote is open; close it with another "`)
	}
	if begun {
		list = append(list, word.String())
	}
	return list, nil
}
