// Package wording writes counts and lists as sentences have them.
package wording

import (
	"fmt"
	"strings"
)

// Count prints a number with its noun: 1 wire, 2 wires.
func Count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// And writes a list as people do: a, b and c.
func And(list []string) string { return joined(list, " and ") }

// Or writes alternatives: a, b or c.
func Or(list []string) string { return joined(list, " or ") }

func joined(list []string, last string) string {
	if len(list) < 2 {
		return strings.Join(list, "")
	}
	return strings.Join(list[:len(list)-1], ", ") + last + list[len(list)-1]
}

// AndMore is And for at most so many; past them it counts: a, b and 3 more.
func AndMore(list []string, most int) string {
	if len(list) > max(most, 1) {
		return Some(list, most)
	}
	return And(list)
}

// Some names at most so many with commas alone, then counts: a, b and 3 more.
func Some(list []string, most int) string {
	if len(list) > most {
		return strings.Join(list[:most], ", ") + fmt.Sprintf(" and %d more", len(list)-most)
	}
	return strings.Join(list, ", ")
}
