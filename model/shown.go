package model

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"unicode"
)

// Shown is what somebody, or a meter, wrote down of a display.
type Shown struct {
	Value Value
	Unit  Unit // NoUnit where none was written
}

// String prints what ParseShown reads back to the same.
func (s Shown) String() string { return strings.TrimSpace(s.Value.String() + " " + string(s.Unit)) }

// Display is what a person types at the bench: what the meter shows, then what the
// value did, then words of the person's own.
type Display struct {
	Shown
	Drift Drift
	Note  string
}

// ParseShown reads what a meter shows, as people and meters write it: beep, no beep,
// OL, 12.5, 4.7 kohm, 4k7, 24 V, 1.8 V AC, 350 mV, 0.55 V diode. What may be meant in
// two ways is an error that names both.
func ParseShown(text string) (Shown, error) {
	words := strings.Fields(sameLetters.Replace(text))
	shown, taken, err := readShown(words)
	if err == nil && taken < len(words) {
		if err = checkNote(shown, words[taken:]); err == nil {
			err = fmt.Errorf("%q does not belong to the value; write it into a column of its own", strings.Join(words[taken:], " "))
		}
	}
	if err != nil {
		return Shown{}, badShown(text, err)
	}
	return shown, nil
}

// ParseDisplay reads what ParseShown does, with rising, falling or steady behind it,
// and then a note. A note never begins with a unit or a digit.
func ParseDisplay(text string) (Display, error) {
	plain := strings.Fields(sameLetters.Replace(text))
	shown, taken, err := readShown(plain)
	if err != nil {
		return Display{}, badShown(text, err)
	}
	display := Display{Shown: shown}
	rest := strings.Fields(text)[taken:] // as it was typed
	if len(rest) > 0 {
		switch drift := Drift(strings.ToLower(strings.TrimRight(rest[0], ",;."))); drift {
		case DriftRising, DriftFalling, DriftSteady:
			display.Drift, rest = drift, rest[1:]
		default:
			if err := checkNote(shown, plain[taken:]); err != nil {
				return Display{}, badShown(text, err)
			}
		}
	}
	display.Note = strings.Join(rest, " ")
	return display, nil
}

// How a reading is written, for who wrote something else.
const shownForms = "write beep, silent, OL, ohms as in 12.5 or 4.7k, or volts as in 11.98 V"

// NoReading is what was written where nothing of it is a reading, or not yet.
type NoReading string

// Error says so.
func (n NoReading) Error() string { return fmt.Sprintf("%q is no reading; %s", string(n), shownForms) }

func badShown(text string, err error) error {
	if errors.Is(err, errNoNumber) {
		return NoReading(text)
	}
	return fmt.Errorf("%q: %w", text, err)
}

// shownWords are the words of a display, in small letters and without points, the
// longer ones first. A word of one letter is for the keyboard.
var shownWords = []struct {
	words string
	value Value
}{
	{"does not beep", Value{Kind: ShowsSilent}}, {"doesn't beep", Value{Kind: ShowsSilent}}, {"not beeping", Value{Kind: ShowsSilent}},
	{"no beep", Value{Kind: ShowsSilent}}, {"no beeps", Value{Kind: ShowsSilent}}, {"no-beep", Value{Kind: ShowsSilent}}, {"nobeep", Value{Kind: ShowsSilent}},
	{"no tone", Value{Kind: ShowsSilent}}, {"no sound", Value{Kind: ShowsSilent}}, {"no continuity", Value{Kind: ShowsSilent}},
	{"silent", Value{Kind: ShowsSilent}}, {"silence", Value{Kind: ShowsSilent}}, {"s", Value{Kind: ShowsSilent}},
	{"beep", Value{Kind: ShowsBeep}}, {"beeps", Value{Kind: ShowsBeep}}, {"beeped", Value{Kind: ShowsBeep}}, {"beeping", Value{Kind: ShowsBeep}},
	{"buzz", Value{Kind: ShowsBeep}}, {"buzzes", Value{Kind: ShowsBeep}}, {"b", Value{Kind: ShowsBeep}},
	{"open circuit", Value{Kind: ShowsOL}}, {"open line", Value{Kind: ShowsOL}}, {"open", Value{Kind: ShowsOL}},
	{"ol", Value{Kind: ShowsOL}}, {"0l", Value{Kind: ShowsOL}}, {"o l", Value{Kind: ShowsOL}}, {"0 l", Value{Kind: ShowsOL}},
	{"overload", Value{Kind: ShowsOL}}, {"ovld", Value{Kind: ShowsOL}}, {"ofl", Value{Kind: ShowsOL}},
	{"infinity", Value{Kind: ShowsOL}}, {"infinite", Value{Kind: ShowsOL}}, {"inf", Value{Kind: ShowsOL}}, {"∞", Value{Kind: ShowsOL}},
}

// readShown reads what words begin with, and says how many of them it took.
func readShown(words []string) (shown Shown, taken int, err error) {
	for _, known := range shownWords {
		count := strings.Count(known.words, " ") + 1
		if count > len(words) || !strings.EqualFold(plainWords(words[:count]), known.words) {
			continue
		}
		shown.Value = known.value
		if known.value.Kind != ShowsOL {
			return shown, count, nil
		}
		unit, more := unitBehind(words[count:])
		shown.Unit = unit
		return shown, count + more, shown.check()
	}
	if len(words) > 0 { // OLV, as a display in the diode range has it
		if rest, ol := cutFold(strings.ReplaceAll(words[0], ".", ""), "OL", "0L"); ol {
			if unit, is := readUnit(rest); is {
				shown = Shown{Value{Kind: ShowsOL}, unit.unit}
				return shown, 1, shown.check()
			}
		}
	}
	quantity, taken, err := readQuantity(words)
	if err != nil {
		return Shown{}, 0, err
	}
	value, err := instrumentValue(quantity.Number)
	shown = Shown{value, quantity.Unit}
	if err == nil {
		err = shown.check()
	}
	return shown, taken, err
}

// plainWords are words without the points and the commas round them.
func plainWords(words []string) string {
	return strings.TrimRight(strings.ReplaceAll(strings.Join(words, " "), ".", ""), ",;:!")
}

func cutFold(text string, prefixes ...string) (rest string, found bool) {
	for _, prefix := range prefixes {
		if len(text) > len(prefix) && strings.EqualFold(text[:len(prefix)], prefix) {
			return text[len(prefix):], true
		}
	}
	return "", false
}

// unitBehind is the longest unit that words begin with, as behind OL; a single a is an
// article.
func unitBehind(words []string) (unit Unit, taken int) {
	for taken = min(mostUnitWords, len(words)); taken > 0; taken-- {
		text := strings.TrimRight(strings.Join(words[:taken], ""), ",;:.")
		if read, is := readUnit(text); is && text != "" && text != "a" {
			return read.unit, taken
		}
	}
	return NoUnit, 0
}

// What instruments send instead of a number, by SCPI-1999 and as published in the
// manuals of several: 9.9E37 for an overload, -9.9E37 for one below, 9.91E37 for no
// measurement. The bounds leave room for single precision.
const (
	instrumentOver    = 9.8995e37
	instrumentNothing = 9.905e37
	instrumentEnd     = 9.915e37
)

// instrumentValue takes a number, or what an instrument sends in its place. The other
// codes that some makers have, 1E+8 to 1E+10, are ohms: as open as an overload.
func instrumentValue(number float64) (Value, error) {
	switch {
	case number >= instrumentOver && number < instrumentNothing:
		return Value{Kind: ShowsOL}, nil
	case number <= -instrumentOver && number > -instrumentNothing:
		return Value{}, errors.New("the meter's code for an overload below zero; measure again with the tips swapped or in a higher range")
	case math.Abs(number) >= instrumentNothing && math.Abs(number) < instrumentEnd:
		return Value{}, errors.New("the meter's code for no measurement; measure again")
	}
	return Value{Number: number}, nil
}

// check refuses what is no reading of this kind of meter work.
func (s Shown) check() error {
	switch {
	case s.Unit == UnitAmpere:
		return errors.New("amperes are no reading here; write ohms or volts, as in 4.7k or 11.98 V")
	case s.Unit == UnitFarad, s.Unit == unitForeign:
		return fmt.Errorf("its unit is not that of a reading; %s", shownForms)
	case s.Value.Kind == ShowsOL && (s.Unit == UnitVoltDC || s.Unit == UnitVoltAC):
		return errors.New("volts over the range of the meter; choose a higher range and write what it shows")
	}
	return nil
}

// checkNote says why words behind a value are no note: what begins with a unit, a
// digit or a sign belongs to the value.
func checkNote(shown Shown, words []string) error {
	first := words[0]
	if begins := strings.TrimLeft(first, "+-.,"); begins != "" && unicode.IsDigit([]rune(begins)[0]) {
		if whole := strings.Join(words, ""); shown.Unit == NoUnit && len(first) == 3 && shown.Value.Kind == ShowsNumber && strings.Trim(first, "0123456789") == "" {
			number := FormatNumber(shown.Value.Number)
			return fmt.Errorf("%s or %s%s? write it without a space, or begin the note with a word", number, number, whole)
		}
		return errors.New("two numbers; write one, or begin the note with a word")
	}
	if _, is := readUnit(strings.TrimRight(first, ",;:.")); !is || first == "a" && (shown.Unit != NoUnit || shown.Value.Kind != ShowsNumber) {
		return nil
	}
	return fmt.Errorf("a note does not begin with the unit %s; %s", first, shownForms)
}

// Mode is the range that a display belongs to, where one was asked for: that range,
// unless the unit, or a beep, says another. Without a range, or in one of a dead
// machine, a number is ohms; then one below zero asks for its unit.
func (s Shown) Mode(asked Mode) (Mode, error) {
	switch s.Unit {
	case UnitOhm:
		return ModeOhms, nil
	case UnitVoltDC:
		return ModeVoltsDC, nil
	case UnitVoltAC:
		return ModeVoltsAC, nil
	case UnitDiode:
		return ModeDiode, nil
	case UnitVolt:
		switch {
		case asked.Volts() || asked == ModeDiode:
			return asked, nil
		case s.Value.Kind == ShowsOL:
			return "", errors.New("OL in volts: over the range of the meter; choose a higher one, or write OL diode for the diode range")
		}
		return ModeVoltsDC, nil
	}
	switch {
	case asked == "" && s.Value.Kind == ShowsNumber && s.Value.Number < 0:
		number := s.Value.String()
		return "", fmt.Errorf("%s: volts or ohms? write %s V, or %s ohm where the leads were zeroed", number, number, number)
	case asked == "" || asked == ModeContinuity || asked == ModeOhms:
		return s.Value.DefaultMode(), nil
	}
	return asked, nil
}

// Under is Mode where the range was stated with the value and must hold.
func (s Shown) Under(stated Mode) (Mode, error) {
	if stated != "" && s.Unit == NoUnit {
		return stated, nil
	}
	mode, err := s.Mode(stated)
	if err == nil && stated != "" && mode != stated {
		return "", fmt.Errorf("%s is a reading in %s, not in %s; correct the value or the mode", s, mode, stated)
	}
	return mode, err
}
