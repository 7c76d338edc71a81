package model

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"
)

// A number with its unit, as a person types it: 24V, 4.7 kohm, 4k7, 12,5. What may
// be meant in two ways is an error that names both.

// Unit is what a typed number counts; empty where no unit was written.
type Unit string

// The units that people write behind a number.
const (
	NoUnit      Unit = ""
	UnitOhm     Unit = "ohm"
	UnitVolt    Unit = "V"
	UnitVoltDC  Unit = "V DC"
	UnitVoltAC  Unit = "V AC"
	UnitDiode   Unit = "V diode"
	UnitAmpere  Unit = "A"
	UnitFarad   Unit = "F"
	unitForeign Unit = "?" // one that nothing here is written in
)

// unitSpellings are how a unit is spelled behind its prefix, in small letters.
var unitSpellings = []struct {
	spelled string
	unit    Unit
}{
	{"ohms", UnitOhm}, {"ohm", UnitOhm}, {"ω", UnitOhm}, {"r", UnitOhm},
	{"volts", UnitVolt}, {"volt", UnitVolt}, {"vdc", UnitVoltDC}, {"v=", UnitVoltDC}, {"v⎓", UnitVoltDC},
	{"vac", UnitVoltAC}, {"vrms", UnitVoltAC}, {"v~", UnitVoltAC}, {"v∼", UnitVoltAC}, {"v", UnitVolt},
	{"vdiode", UnitDiode}, {"vd", UnitDiode}, {"diode", UnitDiode}, {"d", UnitDiode},
	{"amperes", UnitAmpere}, {"ampere", UnitAmpere}, {"amps", UnitAmpere}, {"amp", UnitAmpere}, {"aac", UnitAmpere}, {"adc", UnitAmpere}, {"a", UnitAmpere},
	{"farads", UnitFarad}, {"farad", UnitFarad}, {"f", UnitFarad},
	{"", NoUnit},
}

// foreignUnits are, in small letters, units that no value here is written in: no note
// begins with one.
var foreignUnits = map[string]bool{
	"hz": true, "khz": true, "mhz": true, "w": true, "kw": true, "mw": true, "%": true, "°c": true, "°f": true, "°": true, "db": true,
	"s": true, "ms": true, "us": true, "µs": true, "mm": true, "cm": true, "mh": true, "uh": true, "µh": true, "ac": true, "dc": true, "~": true,
}

// prefixes are those of the SI on meters and parts, with their power of ten. One
// letter m and M stand in readUnit: between them lies a factor of a thousand million.
var prefixes = map[string]int{
	"": 0, "k": 3, "K": 3, "kilo": 3, "kil": 3, "M": 6, "meg": 6, "mega": 6, "g": 9, "G": 9, "giga": 9,
	"m": -3, "milli": -3, "u": -6, "U": -6, "µ": -6, "micro": -6, "n": -9, "N": -9, "nano": -9, "p": -12, "P": -12, "pico": -12,
}

// standAlone are the prefixes that people write without a unit.
var standAlone = map[string]bool{"": true, "k": true, "K": true, "kilo": true, "M": true, "meg": true, "mega": true, "G": true, "m": true}

// sameLetters writes letters that look alike as one: the ohm sign and the Greek
// omega, the micro sign and the Greek mu; and every minus sign as a hyphen.
var sameLetters = strings.NewReplacer("\u2126", "Ω", "\u03bc", "µ", "\u2212", "-", "\u2013", "-")

// written is a unit with its prefix.
type written struct {
	unit   Unit
	powers []int // of ten: two where m may be milli or mega
}

// readUnit reads a unit with its prefix; false if the text is none.
func readUnit(text string) (written, bool) {
	lower := strings.ToLower(text)
	if foreignUnits[lower] {
		return written{unitForeign, []int{0}}, true
	}
	if len(lower) != len(text) { // a letter of no unit
		return written{}, false
	}
	for _, s := range unitSpellings {
		if !strings.HasSuffix(lower, s.spelled) {
			continue
		}
		prefix, spelled := text[:len(text)-len(s.spelled)], text[len(text)-len(s.spelled):]
		power, known := prefixes[prefix]
		if !known && len(prefix) > 1 {
			prefix = strings.ToLower(prefix)
			power, known = prefixes[prefix]
		}
		if !known || s.unit == NoUnit && !standAlone[prefix] {
			continue
		}
		// In small letters alone the m of mohm may be either; with the sign or a
		// capital O behind it, it was chosen. Nobody reads megavolts or megamperes.
		if prefix == "m" && (s.unit == NoUnit || s.unit == UnitOhm && s.spelled != "ω" && spelled[0] != 'O') || prefix == "M" && s.unit != NoUnit && s.unit != UnitOhm {
			return written{s.unit, []int{-3, 6}}, true
		}
		return written{s.unit, []int{power}}, true
	}
	return written{}, false
}

// Quantity is a number with the unit that was written behind it, in that unit
// itself: 4.7 kohm are 4700.
type Quantity struct {
	Number float64
	Unit   Unit
}

// Ambiguous says in which two ways a number may be meant, and how each is written.
type Ambiguous string

// Error is the question.
func (a Ambiguous) Error() string { return string(a) }

func ambiguous(form string, args ...any) error { return Ambiguous(fmt.Sprintf(form, args...)) }

// ParseDecimal reads a number as a person types it, with a decimal point or comma.
func ParseDecimal(text string) (float64, error) {
	digits, rest := cutNumber(sameLetters.Replace(strings.TrimSpace(text)))
	if digits == "" || rest != "" {
		return 0, fmt.Errorf("%q is no number; write digits, as in 0.75", text)
	}
	q, err := scale(digits, written{NoUnit, []int{0}})
	if err != nil {
		return 0, fmt.Errorf("%q: %w", text, err)
	}
	return q.Number, nil
}

// ParseQuantity reads a number with or without a unit behind it.
func ParseQuantity(text string) (Quantity, error) {
	words := strings.Fields(sameLetters.Replace(text))
	q, taken, err := readQuantity(words)
	if err == nil && taken < len(words) {
		err = fmt.Errorf("%q is no unit", strings.Join(words[taken:], " "))
	}
	if err != nil {
		return Quantity{}, fmt.Errorf("%q: %w", text, err)
	}
	return q, nil
}

var errNoNumber = errors.New("no number")

// mostUnitWords is in how many words a unit is written, as in 350 m V AC.
const mostUnitWords = 3

// readQuantity reads the quantity that words begin with, and says of how many words
// it is. The unit is the longest one that is there.
func readQuantity(words []string) (q Quantity, taken int, err error) {
	if len(words) == 0 {
		return q, 0, errNoNumber
	}
	begin := 1
	if first := words[0]; (first == "-" || first == "+") && len(words) > 1 { // - 0.3
		words, begin = append([]string{first + words[1]}, words[2:]...), 2
	}
	digits, rest := cutNumber(words[0])
	if digits == "" {
		return q, 0, errNoNumber
	}
	for more := min(mostUnitWords, len(words)-1); more >= 0; more-- {
		text := strings.ReplaceAll(strings.TrimRight(rest+strings.Join(words[1:1+more], ""), ",;:"), ".", "") // V a.c.
		number := digits
		unit, is := readUnit(text)
		if codeForm.MatchString(rest) {
			number, unit, is = readCode(digits, text)
		}
		if !is || text == "" && more > 0 {
			continue
		}
		q, err = scale(number, unit)
		return q, begin + more, err
	}
	return q, 0, fmt.Errorf("%q is no unit", rest)
}

var (
	numberForm = regexp.MustCompile(`^[+-]?(?:[.,]?[0-9][0-9.,'’]*)(?:[eE][+-]?[0-9]+)?`)
	codeForm   = regexp.MustCompile(`^(\pL)([0-9]+)(.*)$`)
)

// cutNumber parts the number that a word begins with from the rest of it. A comma at
// the end is one between words.
func cutNumber(word string) (digits, rest string) {
	digits = numberForm.FindString(word)
	rest = word[len(digits):]
	if rest == "" {
		digits = strings.TrimRight(digits, ",'’")
	}
	return digits, rest
}

// readCode reads what is written with the unit or its prefix in the place of the
// point (IEC 60062): 4k7, 2M2, 0R33, 3V3; digits are the ones before it.
func readCode(digits, text string) (number string, unit written, ok bool) {
	parts := codeForm.FindStringSubmatch(text)
	if parts == nil || strings.Trim(digits, "+-0123456789") != "" {
		return "", unit, false
	}
	tail, isUnit := readUnit(parts[3])
	unit, isPrefix := readUnit(parts[1])
	switch {
	case !isPrefix || !isUnit || len(tail.powers) > 1 || tail.powers[0] != 0:
		return "", unit, false
	case unit.unit == NoUnit && (tail.unit == NoUnit || tail.unit == UnitOhm): // 4k7 is in ohms
		unit.unit = UnitOhm
	case tail.unit != NoUnit || unit.unit != UnitOhm && unit.unit != UnitVolt:
		return "", unit, false
	}
	return digits + "." + parts[2], unit, true
}

// scale makes a quantity of digits and a unit.
func scale(digits string, unit written) (Quantity, error) {
	if err := grouped(digits); err != nil {
		return Quantity{}, err
	}
	plain := strings.Replace(digits, ",", ".", 1)
	var numbers []float64
	for _, power := range unit.powers {
		number, err := tenfold(plain, power)
		if err != nil {
			return Quantity{}, err
		}
		numbers = append(numbers, number)
	}
	if len(numbers) > 1 {
		either := fmt.Sprintf("%s or %s %s", FormatNumber(numbers[0]), FormatNumber(numbers[1]), unit.unit)
		return Quantity{}, ambiguous("milli or mega? write %s", strings.TrimSpace(either))
	}
	return Quantity{numbers[0], unit.unit}, nil
}

// tenfold reads a decimal number times a power of ten. The power goes into the text:
// to multiply would make 1000.9999999999999 of 1.001k.
func tenfold(plain string, power int) (float64, error) {
	mantissa := plain
	if at := strings.IndexAny(plain, "eE"); at >= 0 {
		exponent, err := strconv.Atoi(plain[at+1:])
		if err != nil {
			return 0, errNoNumber
		}
		mantissa, power = plain[:at], power+exponent
	}
	number, err := strconv.ParseFloat(mantissa+"e"+strconv.Itoa(power), 64)
	switch {
	case math.IsInf(number, 0):
		return 0, errors.New("more than any machine has")
	case err != nil:
		return 0, errNoNumber
	case number == 0:
		return 0, nil // "-0" and "0" are one number
	}
	return number, nil
}

// groupForm is a number in groups of three, with or without decimals behind another
// mark than the groups have.
var groupForm = regexp.MustCompile(`^[+-]?[1-9][0-9]{0,2}(?:(?:\.[0-9]{3})+(?:,[0-9]*)?|(?:,[0-9]{3})+(?:\.[0-9]*)?|(?:['’][0-9]{3})+(?:[.,][0-9]*)?)$`)

// grouped asks about separators between the thousands: 1,200 may be 1.2 or 1200. A
// point alone is always the decimal one, as meters show it.
func grouped(digits string) error {
	at := strings.IndexAny(digits, ".,'’")
	if at < 0 {
		return nil
	}
	first, _ := utf8.DecodeRuneInString(digits[at:])
	several := strings.ContainsAny(digits[at+utf8.RuneLen(first):], ".,'’")
	groups := groupForm.MatchString(digits)
	switch {
	case !several && first == '.', !several && first == ',' && !groups:
		return nil
	case !groups:
		return errNoNumber
	}
	// The mark of the groups goes; another one, behind them, is the decimal point.
	bare := strings.Replace(strings.ReplaceAll(digits, string(first), ""), ",", ".", 1)
	if several || first != ',' {
		return ambiguous("a separator between the thousands; write %s", bare)
	}
	point := strings.TrimRight(strings.TrimRight(strings.Replace(digits, ",", ".", 1), "0"), ".")
	return ambiguous("%s or %s? write one of the two", point, bare)
}
