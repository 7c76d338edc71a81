package model

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// FieldError is one complaint about one field of one row: what is wrong and
// how to mend it. Field is the column's name in the CSV files.
type FieldError struct {
	Field   string
	Problem string
	Mend    string
	// tolerated says that the complaint is about a text that shows another than it
	// holds. Files of earlier versions hold such texts: what is there may stay.
	tolerated bool
}

// Error joins the parts into one line.
func (e FieldError) Error() string {
	text := e.Field + ": " + e.Problem
	if e.Mend != "" {
		text += "; " + e.Mend
	}
	return text
}

// MaxTextLength is the longest text, in bytes, that a field holds.
const MaxTextLength = 10000

// complaints collects what Validate finds.
type complaints []FieldError

func (c *complaints) add(field, problem, mend string) {
	*c = append(*c, FieldError{Field: field, Problem: problem, Mend: mend})
}

// ownName complains of the name of a row, as it is and as it looks. Of a name that
// it only refers to it matters that there is one.
func (c *complaints) ownName(field, text string) {
	c.direction(field, text)
	c.seen(field, text)
	c.name(field, text)
}

func (c *complaints) name(field, text string) {
	if err := checkName(text); err != nil {
		c.add(field, fmt.Sprintf("%q %v", text, err), "write it without space, ; or :")
	}
}

// reference complains about what cannot be a device's reference.
func (c *complaints) reference(field, text string) {
	if err := checkReference(text); errors.Is(err, errPrefix) {
		c.add(field, fmt.Sprintf("%q %v", text, err), "write "+unprefixed(text)+" without the leading -")
		return
	}
	c.name(field, text)
}

// direction complains of characters that turn the reading direction of what
// follows: with them a label shows another text than it holds, in every export.
func (c *complaints) direction(field, text string) {
	if at := strings.IndexFunc(text, TurnsDirection); at >= 0 {
		r, _ := utf8.DecodeRuneInString(text[at:])
		*c = append(*c, FieldError{
			Field: field, Problem: fmt.Sprintf("%q holds the invisible character U+%04X, which turns the reading direction", text, r),
			Mend: "write the text anew without it", tolerated: true,
		})
	}
}

// TurnsDirection says whether a character is one of the embeddings, overrides and
// isolates of the Unicode bidirectional algorithm (UAX 9). Texts of scripts that run
// from right to left need none of them.
func TurnsDirection(r rune) bool { return r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069 }

func (c *complaints) text(field, text string) {
	c.direction(field, text)
	switch {
	case !utf8.ValidString(text):
		c.add(field, "the text is no UTF-8", "save the file as UTF-8")
	case strings.ContainsRune(text, 0):
		c.add(field, "the text holds a NUL character", "delete it")
	case len(text) > MaxTextLength:
		c.add(field, fmt.Sprintf("the text has %d bytes", len(text)), fmt.Sprintf("keep it under %d", MaxTextLength))
	}
}

func (c *complaints) oneOf(field, text string, allowed []string) {
	if slices.Contains(allowed, text) {
		return
	}
	mend := "write one of " + strings.Join(allowed, ", ")
	if allowed[0] == "" {
		mend = "leave it empty, or write one of " + strings.Join(allowed[1:], ", ")
	}
	c.add(field, fmt.Sprintf("unknown word %q", text), mend)
}

func (c *complaints) finite(field string, number Optional) {
	if number.Known && (math.IsNaN(number.Value) || math.IsInf(number.Value, 0)) {
		c.add(field, "the number is not finite", "write digits, or leave it empty")
	}
}

func (c *complaints) notNegative(field string, number Optional) {
	c.finite(field, number)
	if number.Known && number.Value < 0 {
		c.add(field, fmt.Sprintf("%s is negative", number), "write it without the minus sign, or leave it empty")
	}
}

// moment refuses what RFC 3339 cannot write; the zero time means not known.
func (c *complaints) moment(field string, at time.Time) {
	if at.IsZero() {
		return
	}
	if _, offset := at.Zone(); offset%60 != 0 {
		c.add(field, "the zone is off by seconds", "write the time in UTC")
	}
	if year := at.Year(); year < 1 || year > 9999 {
		c.add(field, fmt.Sprintf("the year %d is out of range", year), "write the time as RFC 3339, as in 2026-05-04T10:30:00Z")
	}
}

var (
	errEmptyName = errors.New("is empty")
	errPrefix    = errors.New("begins with a -")
	errBadName   = errors.New("holds a space, a ; or a :")
	errNoUTF8    = errors.New("is no UTF-8")
	errLongName  = errors.New("is longer than 500 bytes")
)

// MaxNameLength is the longest reference, mark or wire name, in bytes.
const MaxNameLength = 500

// checkName says why text cannot be a reference, a mark or a wire's name.
func checkName(text string) error {
	switch {
	case text == "":
		return errEmptyName
	case !utf8.ValidString(text):
		return errNoUTF8
	case len(text) > MaxNameLength:
		return errLongName
	}
	for _, r := range text {
		if unicode.IsSpace(r) || unicode.IsControl(r) || r == ';' || r == ':' {
			return errBadName
		}
	}
	return nil
}

// checkReference says why text cannot be a device's reference. The product
// aspect's leading "-" of IEC 81346 is not written: G1 and -G1 would be two
// devices.
func checkReference(text string) error {
	if err := checkName(text); err != nil {
		return err
	}
	if text[0] == '-' {
		return errPrefix
	}
	return nil
}

// unprefixed is a reference as it should have been written.
func unprefixed(text string) string {
	if bare := strings.TrimLeft(text, "-"); bare != "" {
		return bare
	}
	return "G1"
}

func words[T ~string](list []T) []string {
	out := make([]string, len(list))
	for i, word := range list {
		out[i] = string(word)
	}
	return out
}
