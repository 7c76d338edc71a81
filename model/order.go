package model

import "strings"

// Less orders names as a person would: W2 before W10. Equal numbers with more
// leading zeros come later, so that the order is total.
func Less(a, b string) bool { return Compare(a, b) < 0 }

// Compare orders names as a person would: negative when a comes first.
func Compare(a, b string) int {
	i, j := 0, 0
	for i < len(a) && j < len(b) {
		if isDigit(a[i]) && isDigit(b[j]) {
			startA, startB := i, j
			i, j = digitsEnd(a, i), digitsEnd(b, j)
			numberA, numberB := strings.TrimLeft(a[startA:i], "0"), strings.TrimLeft(b[startB:j], "0")
			if len(numberA) != len(numberB) {
				return len(numberA) - len(numberB)
			}
			if order := strings.Compare(numberA, numberB); order != 0 {
				return order
			}
			continue
		}
		if a[i] != b[j] {
			return int(a[i]) - int(b[j])
		}
		i++
		j++
	}
	if order := (len(a) - i) - (len(b) - j); order != 0 {
		return order
	}
	if order := len(a) - len(b); order != 0 { // only zeros in front of numbers differ
		return order
	}
	return strings.Compare(a, b)
}

// CompareRefs orders terminals by device, then by mark.
func CompareRefs(a, b TerminalRef) int {
	if order := Compare(a.Device, b.Device); order != 0 {
		return order
	}
	return Compare(a.Mark, b.Mark)
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

func digitsEnd(text string, at int) int {
	for at < len(text) && isDigit(text[at]) {
		at++
	}
	return at
}
