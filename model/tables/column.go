package tables

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"bellout/model"
)

// Cell is what stands in one cell.
type Cell struct {
	Text string
	// DecimalComma says that a number here may be written 0,75.
	DecimalComma bool
}

// Column is one column of a table: how its cell is read into a row and printed
// from one. Parse of what Print wrote gives the same field back.
type Column[T any] struct {
	Name string // the header's word, and the field's name in model
	// InHeader says that a file without this column is no table of its kind.
	InHeader bool
	// Filled says that no row may leave the cell empty.
	Filled bool
	Parse  func(row *T, cell Cell) error
	Print  func(row T) string
}

// keyColumn is a column without which a row has no name.
func keyColumn[T any](name string, parse func(*T, Cell) error, print func(T) string) Column[T] {
	return Column[T]{Name: name, InHeader: true, Filled: true, Parse: parse, Print: print}
}

// textColumn is a column whose cell is kept as it is written. CR and CRLF
// inside a text are written as LF, as they are read.
func textColumn[T any, S ~string](name string, field func(*T) *S) Column[T] {
	return Column[T]{
		Name:  name,
		Parse: func(row *T, cell Cell) error { *field(row) = S(cell.Text); return nil },
		Print: func(row T) string { return string(*field(&row)) },
	}
}

// wordColumn is a text column in which an empty cell means a word of its own.
func wordColumn[T any, S ~string](name string, empty S, field func(*T) *S) Column[T] {
	return Column[T]{
		Name: name,
		Parse: func(row *T, cell Cell) error {
			*field(row) = S(cell.Text)
			if cell.Text == "" {
				*field(row) = empty
			}
			return nil
		},
		Print: func(row T) string {
			if word := *field(&row); word != "" {
				return string(word)
			}
			return string(empty)
		},
	}
}

// numberColumn holds a number that may be not known.
func numberColumn[T any](name string, field func(*T) *model.Optional) Column[T] {
	return Column[T]{
		Name: name,
		Parse: func(row *T, cell Cell) (err error) {
			*field(row), err = cell.number()
			return err
		},
		Print: func(row T) string { return field(&row).String() },
	}
}

// timeColumn holds a moment in RFC 3339, a day alone, or nothing.
func timeColumn[T any](name string, field func(*T) *time.Time) Column[T] {
	return Column[T]{
		Name: name,
		Parse: func(row *T, cell Cell) (err error) {
			*field(row), err = parseTime(cell.Text)
			return err
		},
		Print: func(row T) string { return printTime(*field(&row)) },
	}
}

// terminalColumn holds DEVICE:TERMINAL.
func terminalColumn[T any](name string, field func(*T) *model.TerminalRef) Column[T] {
	return keyColumn(name,
		func(row *T, cell Cell) (err error) {
			*field(row), err = model.ParseTerminalRef(cell.Text)
			return err
		},
		func(row T) string { return field(&row).String() })
}

// nameColumn holds a reference, a mark or a wire's name.
func nameColumn[T any](name string, field func(*T) *string) Column[T] {
	return mustHave(textColumn(name, field))
}

// mustHave makes a column one that every file and every row has.
func mustHave[T any](column Column[T]) Column[T] {
	column.InHeader, column.Filled = true, true
	return column
}

func parseTime(text string) (time.Time, error) {
	if text == "" {
		return time.Time{}, nil
	}
	if day, err := time.Parse(time.DateOnly, text); err == nil && !day.IsZero() {
		return day, nil
	}
	at, err := time.Parse(time.RFC3339, text)
	if err == nil {
		// What cannot be printed again, or would print as not known, is refused.
		again, errAgain := time.Parse(time.RFC3339, at.Format(time.RFC3339Nano))
		if errAgain == nil && again.Equal(at) && !at.IsZero() {
			return at, nil
		}
	}
	return time.Time{}, fmt.Errorf("%q is no time; write it as in 2026-05-17T14:30:00+02:00, or the day alone", text)
}

// printTime prints a day alone as it was read: it is kept as the first moment of the
// day in UTC, which no clock at a bench is likely to show.
func printTime(at time.Time) string {
	if at.Equal(at.Truncate(24*time.Hour)) && at.Location() == time.UTC && !at.IsZero() {
		return at.Format(time.DateOnly)
	}
	return model.FormatTime(at)
}

// number reads a decimal number; an empty cell is a number not known.
func (c Cell) number() (model.Optional, error) {
	number, err := model.ParseOptional(c.pointed())
	if err != nil {
		return number, c.numberError()
	}
	return number, nil
}

// pointed writes a decimal comma as a point, where a comma is allowed.
func (c Cell) pointed() string {
	if c.DecimalComma && strings.Count(c.Text, ",") == 1 && !strings.Contains(c.Text, ".") {
		return strings.Replace(c.Text, ",", ".", 1)
	}
	return c.Text
}

func (c Cell) numberError() error {
	lower := strings.ToLower(strings.TrimLeft(strings.TrimSpace(c.Text), "+-"))
	switch {
	case lower == "nan", strings.HasPrefix(lower, "inf"):
		return fmt.Errorf("%q is no number; write digits, or leave the cell empty where it is not known", c.Text)
	case strings.HasPrefix(lower, "0x"):
		return fmt.Errorf("%q is no decimal number; write it with the digits 0 to 9", c.Text)
	case strings.Trim(lower, "0123456789.,' \u00a0\u202f") == "" && strings.ContainsAny(lower, "0123456789"):
		mend := "write a decimal point, as in 0.75, and nothing between the thousands"
		if c.DecimalComma {
			mend = "write one decimal point or comma, as in 0.75, and nothing between the thousands"
		}
		return fmt.Errorf("%q is no number; %s", c.Text, mend)
	default:
		return fmt.Errorf("%q is no number; write digits with a point, as in 0.75", c.Text)
	}
}

var errNoYesNo = errors.New("write yes or no; empty means no")

func parseYesNo(text string) (bool, error) {
	switch strings.ToLower(text) {
	case "yes", "true", "1":
		return true, nil
	case "", "no", "false", "0":
		return false, nil
	}
	return false, fmt.Errorf("unknown word %q; %w", text, errNoYesNo)
}

func printYesNo(yes bool) string {
	if yes {
		return "yes"
	}
	return ""
}
