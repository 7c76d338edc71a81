package tables

import (
	"errors"
	"fmt"
	"strings"

	"bellout/model"
)

// Error says what is wrong with a file, where, and how to mend it, in one line.
type Error struct {
	File    string // the file's name, or the folder's path
	Line    int    // counted from 1, the first of the row; 0: the file as a whole
	Column  string // the header's word; empty: the row as a whole
	Problem string
	Mend    string
	More    int   // further errors of this kind in the file
	Err     error // what went wrong below, where there is something
}

// Error prints: wires.csv line 14, column to: no terminal "K3:7"; K3 has 1, 2.
func (e *Error) Error() string {
	var text strings.Builder
	text.WriteString(e.File)
	if e.Line > 0 {
		fmt.Fprintf(&text, " line %d", e.Line)
	}
	if e.Column != "" {
		fmt.Fprintf(&text, ", column %s", e.Column)
	}
	text.WriteString(": ")
	text.WriteString(clip(e.Problem))
	if e.Mend != "" {
		text.WriteString("; ")
		text.WriteString(clip(e.Mend))
	}
	if e.More > 0 {
		fmt.Fprintf(&text, " (and %d more)", e.More)
	}
	return text.String()
}

// Unwrap returns what went wrong below.
func (e *Error) Unwrap() error { return e.Err }

// explain makes an Error of what the model says about a cell: problem and
// mend, parted by the last semicolon.
func explain(err error) (problem, mend string) {
	var field model.FieldError
	switch {
	case !errors.As(err, &field):
		return parted(err.Error())
	case field.Mend == "":
		return parted(field.Problem)
	}
	return field.Problem, field.Mend
}

func parted(text string) (problem, mend string) {
	if at := strings.LastIndex(text, "; "); at >= 0 {
		return text[:at], text[at+2:]
	}
	return text, ""
}

// clipLength keeps an error on one line that can be read.
const clipLength = 400

func clip(text string) string {
	if len(text) <= clipLength {
		return text
	}
	return strings.ToValidUTF8(text[:clipLength], "") + " ..."
}
