package model

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Optional is a number that may be not known: an empty cell is not a zero.
type Optional struct {
	Value float64
	Known bool
}

// Known returns a number that is known.
func Known(value float64) Optional { return Optional{Value: value, Known: true} }

// Or returns the number, or fallback where it is not known.
func (o Optional) Or(fallback float64) float64 {
	if o.Known {
		return o.Value
	}
	return fallback
}

// String prints the shortest decimal text that reads back to the same number;
// empty where it is not known.
func (o Optional) String() string {
	if !o.Known {
		return ""
	}
	return FormatNumber(o.Value)
}

// MarshalJSON writes a number or null.
func (o Optional) MarshalJSON() ([]byte, error) {
	if !o.Known {
		return []byte("null"), nil
	}
	return json.Marshal(o.Value)
}

// UnmarshalJSON reads a number or null.
func (o *Optional) UnmarshalJSON(text []byte) error {
	if string(text) == "null" {
		*o = Optional{}
		return nil
	}
	if err := json.Unmarshal(text, &o.Value); err != nil {
		return err
	}
	o.Known = true
	return nil
}

// FormatNumber prints the shortest plain decimal that reads back to the same
// number.
func FormatNumber(value float64) string {
	if size := math.Abs(value); size != 0 && (size < 1e-9 || size >= 1e15) {
		return strconv.FormatFloat(value, 'g', -1, 64)
	}
	return strconv.FormatFloat(value, 'f', -1, 64)
}

// ParseOptional reads a decimal number; an empty text is a number that is not
// known. NaN, infinities and hexadecimal are refused.
func ParseOptional(text string) (Optional, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return Optional{}, nil
	}
	value, err := ParseNumber(text)
	if err != nil {
		return Optional{}, err
	}
	return Known(value), nil
}

// MaxNumber is the largest size of any number in a machine: no ohms, volts,
// amperes or metres of a machine come near it.
const MaxNumber = 1e15

// ParseNumber reads a decimal number of at most MaxNumber in size.
func ParseNumber(text string) (float64, error) {
	value, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(value) || math.IsInf(value, 0) || strings.ContainsAny(text, "xX_pP") {
		return 0, fmt.Errorf("%q is no number; write digits with a point, as in 0.75", text)
	}
	if math.Abs(value) > MaxNumber {
		return 0, fmt.Errorf("%q is out of range; write a number under %g", text, MaxNumber)
	}
	if value == 0 {
		value = 0 // "-0" and "0" are one number
	}
	return value, nil
}
