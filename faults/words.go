package faults

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"bellout/faults/judge"
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
		return strings.Join(list[:len(list)-1], ", ") + " or " + list[len(list)-1]
	}
}

// voltsText and ampsText print what a bench meter would show: three digits that
// count, no more than three after the point.
func voltsText(volts float64) string { return digitsText(volts) }

func ampsText(amps float64) string { return digitsText(amps) }

func digitsText(value float64) string {
	const most = 1e6 // more than that no bench has: digits that nobody reads
	if math.IsInf(value, 0) {
		return "over " + strconv.FormatFloat(math.Copysign(1e308, value), 'g', 3, 64) // as far as numbers go
	}
	if math.Abs(value) >= most {
		return strconv.FormatFloat(value, 'g', 3, 64)
	}
	// What lies half-way between two digits must not turn on the last bit.
	value = math.Round(value*1e9)/1e9 + math.Copysign(1e-10, value)
	places := 3
	for size := math.Abs(value); size >= 1 && places > 1; size /= 10 {
		places--
	}
	text := strconv.FormatFloat(value, 'f', places, 64)
	text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	if text == "-0" || text == "" {
		return "0"
	}
	return text
}
