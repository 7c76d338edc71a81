package model

import (
	"fmt"
	"math"
	"strconv"
)

// ValueKind says what a meter's display showed.
type ValueKind uint8

// What a display can show.
const (
	ShowsNumber ValueKind = iota // Number holds ohms or volts, by the mode
	ShowsOL                      // over the range: no path that the meter can see
	ShowsBeep
	ShowsSilent
)

// Value is what the meter showed.
type Value struct {
	Kind   ValueKind
	Number float64 // ohms or volts; 0 unless Kind is ShowsNumber
}

// String prints the value as ParseValue and ParseShown read it.
func (v Value) String() string {
	switch v.Kind {
	case ShowsBeep:
		return "beep"
	case ShowsSilent:
		return "silent"
	case ShowsOL:
		return "OL"
	default:
		return FormatNumber(v.Number)
	}
}

// ParseValue reads what String prints, as files keep it: any finite number, since
// files of earlier versions hold some that no meter shows. What a person or a meter
// writes is read by ParseShown.
func ParseValue(text string) (Value, error) {
	for _, word := range []Value{{Kind: ShowsBeep}, {Kind: ShowsSilent}, {Kind: ShowsOL}} {
		if text == word.String() {
			return word, nil
		}
	}
	number, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(number) || math.IsInf(number, 0) {
		return Value{}, fmt.Errorf("%q is no stored value; write beep, silent, OL or a number", text)
	}
	return Value{Number: number}, nil
}

// DefaultMode returns the mode that a value implies where none was named:
// continuity for beep and silent, ohms for the rest.
func (v Value) DefaultMode() Mode {
	if v.Kind == ShowsBeep || v.Kind == ShowsSilent {
		return ModeContinuity
	}
	return ModeOhms
}

// MarshalText and UnmarshalText keep a value one word in JSON.
func (v Value) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// UnmarshalText reads what MarshalText wrote.
func (v *Value) UnmarshalText(text []byte) error {
	value, err := ParseValue(string(text))
	if err != nil {
		return err
	}
	*v = value
	return nil
}

// The most that a meter shows. What lies beyond was mistyped, or is a code of the
// instrument: no reading is stored with it.
const (
	// mostOhms: insulation testers end at some teraohm, hand-held meters at some
	// ten megaohm (from memory).
	mostOhms = 1e13
	// mostVolts: high-voltage probes of hand-held meters end at 40 kV (from memory).
	mostVolts = 1e5
	// mostDiodeVolts: a diode range has up to 3.2 V across its open leads, as
	// published for a bench meter and a hand-held one; testers of lamps and
	// strips some 20 V (from memory).
	mostDiodeVolts = 30
	// zeroedLeadsOhm is how far below 0 ohm a meter may show whose leads were zeroed
	// (the relative range): as much as shorted leads of a hand-held meter show,
	// 0 to 0.5 ohm as published. Below that volts are on the tips.
	zeroedLeadsOhm = 0.5
)

// doubt says why no meter shows this value in a mode; empty if one may.
func (v Value) doubt(mode Mode) (problem, mend string) {
	if v.Kind != ShowsNumber {
		return "", ""
	}
	size, number := math.Abs(v.Number), FormatNumber(v.Number)
	switch mode {
	case ModeOhms:
		switch {
		case v.Number < -zeroedLeadsOhm:
			return number + " ohm is below zero, which no resistance is", "write " + number + " V if it is volts; else take the volts off the tips, or zero the leads anew, and measure again"
		case size > mostOhms:
			return number + " ohm is more than any meter shows", "write OL, or what the display shows"
		}
	case ModeDiode:
		if size > mostDiodeVolts {
			return number + " V is more than a diode range shows", "write OL, or what the display shows"
		}
	case ModeVoltsDC, ModeVoltsAC:
		if size > mostVolts {
			return number + " V is more than any meter shows", "write what the display shows, with its unit"
		}
	}
	return "", ""
}
