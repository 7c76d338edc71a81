// Package quickadd turns what a person types in one line into an edit of the map:
// a device from a template, a wire between two terminals. It knows no window.
package quickadd

import (
	"fmt"
	"strings"
)

// words splits a line at blanks; what stands between double quotes is one word,
// and inQuotes says so of each.
func words(line string) (list []string, inQuotes []bool, err error) {
	var word strings.Builder
	wasQuoted := false
	quoted, begun := false, false
	for _, r := range line {
		switch {
		case r == '"':
			quoted = !quoted
			begun, wasQuoted = true, true
		case (r == ' ' || r == '\t') && !quoted:
			if begun {
				list, inQuotes = append(list, word.String()), append(inQuotes, wasQuoted)
				word.Reset()
				begun, wasQuoted = false, false
			}
		default:
			word.WriteRune(r)
			begun = true
		}
	}
	if quoted {
		return nil, nil, fmt.Errorf(`a quote is open; close it with another "`)
	}
	if begun {
		list, inQuotes = append(list, word.String()), append(inQuotes, wasQuoted)
	}
	return list, inQuotes, nil
}
