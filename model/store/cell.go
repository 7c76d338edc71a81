package store

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"time"
	"unicode/utf8"

	"bellout/model"
)

// number that may be not known: NULL.
func (c *cells) optional(at int) model.Optional {
	switch value := c.values[at].(type) {
	case nil:
		return model.Optional{}
	case float64:
		return model.Known(value)
	}
	c.err = errCell
	return model.Optional{}
}

func (c *cells) real(at int) float64 {
	value, ok := c.values[at].(float64)
	if !ok {
		c.err = errCell
	}
	return value
}

// blob returns bytes that are valid during the call only.
func (c *cells) blob(at int) []byte {
	value, ok := c.values[at].([]byte)
	if !ok {
		c.err = errCell
	}
	return value
}

func (c *cells) moment(at int) time.Time {
	text := c.text(at)
	if text == "" {
		return time.Time{}
	}
	moment, err := time.Parse(time.RFC3339Nano, text)
	if err != nil {
		c.err = errCell
	}
	return moment
}

// word reads a cell that holds one of few words.
func word[T ~string](c *cells, at int, known []T) T {
	text := T(c.text(at))
	if place := slices.Index(known, text); place >= 0 {
		return known[place] // one string for all rows
	}
	c.err = fmt.Errorf("%w: %q", errCell, string(text))
	return text
}

// name reads a reference, a mark or a wire's name. The file may be damaged
// inside a text: what cannot be a name is not handed on.
func (c *cells) name(at int) string {
	text := c.text(at)
	if text == "" || !utf8.ValidString(text) || bytes.ContainsAny([]byte(text), " ;:\x00") {
		c.err = fmt.Errorf("%w: %q is no name", errCell, text)
	}
	return text
}

// note reads free text.
func (c *cells) note(at int) string {
	text := c.text(at)
	if !utf8.ValidString(text) {
		c.err = fmt.Errorf("%w: the text is no UTF-8", errCell)
	}
	return text
}

// sqlNumber is what a number that may be not known becomes in a statement.
func sqlNumber(number model.Optional) any {
	if !number.Known {
		return nil
	}
	return number.Value
}

var (
	errNoTable = errors.New("no such table")
	errNoRow   = errors.New("the row is not in the file")
)
