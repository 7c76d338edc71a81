package desk

import (
	"fmt"
	"strings"

	"bellout/model"
)

// ReadEntry reads what is typed for the meter's display: b or beep, s or
// silent, OL, ohms with or without k or M, volts with V (V~ for alternating
// ones), the diode test with D. One comma is a decimal point. After it may stand
// rising or falling, and then a note in the person's own words.
func ReadEntry(text string) (Entry, error) {
	words := strings.Fields(text)
	if len(words) == 0 {
		return Entry{}, fmt.Errorf("nothing is written; write b, s, OL, ohms such as 4.7k, or volts such as 12V")
	}
	entry, err := readDisplay(words[0])
	if err != nil {
		return Entry{}, err
	}
	words = words[1:]
	if len(words) > 0 {
		switch drift := model.Drift(strings.ToLower(words[0])); drift {
		case model.DriftRising, model.DriftFalling, model.DriftSteady:
			entry.Drift, words = drift, words[1:]
		}
	}
	entry.Note = strings.Join(words, " ")
	return entry, nil
}

// endings are what may follow a number, the longer ones first.
var endings = []struct {
	text string
	mode model.Mode
}{
	{"v~", model.ModeVoltsAC}, {"vac", model.ModeVoltsAC}, {"vdc", model.ModeVoltsDC}, {"v", model.ModeVoltsDC}, {"d", model.ModeDiode},
}

func readDisplay(word string) (Entry, error) {
	if strings.Count(word, ",") == 1 && !strings.Contains(word, ".") {
		word = strings.Replace(word, ",", ".", 1) // a decimal comma, as in the tables
	}
	lower := strings.ToLower(word)
	switch lower {
	case "b":
		lower = "beep"
	case "s":
		lower = "silent"
	}
	for _, ending := range endings {
		number, found := strings.CutSuffix(lower, ending.text)
		if !found || number == "" {
			continue
		}
		scale := 1.0
		if thousandth, milli := strings.CutSuffix(number, "m"); milli {
			number, scale = thousandth, 1e-3
		}
		value, err := model.ParseValue(strings.ReplaceAll(number, "ol", "OL"))
		if err != nil || value.Kind != model.ShowsNumber && ending.mode != model.ModeDiode {
			return Entry{}, badDisplay(word)
		}
		value.Number *= scale
		return Entry{Value: value, Mode: ending.mode}, nil
	}
	number := strings.TrimSuffix(strings.TrimSuffix(strings.TrimSuffix(lower, "ohm"), "ω"), "Ω")
	switch {
	case number == "ol":
		number = "OL"
	case strings.HasSuffix(number, "m") && strings.HasSuffix(word, "M"):
		number = strings.TrimSuffix(number, "m") + "M"
	}
	value, err := model.ParseValue(number)
	if err != nil {
		return Entry{}, badDisplay(word)
	}
	return Entry{Value: value, Mode: value.DefaultMode()}, nil
}

func badDisplay(word string) error {
	return fmt.Errorf("%q is no reading; write b for a beep, s for silent, OL, ohms such as 12.5, 4.7k or 1M, volts such as 11.98V", word)
}
