// Package sheets prints what outlives the repair: the net list and the wire
// list of a machine, as a table for a spreadsheet (csv), as JSON, or as a page
// of text.
package sheets

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"time"

	"bellout/model"
)

// Form is how a sheet is written; it is the ending of the file.
type Form string

// The forms.
const (
	CSV  Form = "csv"
	JSON Form = "json"
	Text Form = "txt"
)

// Forms lists every form.
var Forms = []Form{CSV, JSON, Text}

// FormOf reads the form off the ending of a file's name.
func FormOf(path string) (Form, error) {
	ending := strings.ToLower(strings.TrimPrefix(filepath.Ext(path), "."))
	for _, form := range Forms {
		if ending == string(form) {
			return form, nil
		}
	}
	if ending == "" {
		return "", fmt.Errorf("%s has no ending; end it in .csv, .json or .txt", path)
	}
	return "", fmt.Errorf("%s ends in .%s; end it in .csv, .json or .txt", path, ending)
}

// Job is one printing: of which machine, when.
type Job struct {
	Title   string // the project's name, for the head of a page
	Printed time.Time
	Machine *model.Machine
	Proven  func(wire string) bool // by the readings; only the wire list asks
}

// Sheet is one kind of sheet.
type Sheet struct {
	Name  string // as in export --as NAME
	Title string // one line
	Write func(io.Writer, Form, Job) error
}

// Sheets are all kinds of sheet, in the order of the help.
var Sheets = []Sheet{
	{Name: "netlist", Title: "every net with its kind, volts, terminals and wires", Write: writeNetList},
	{Name: "wirelist", Title: "every wire from end to end, its copper, its net, and whether it is proven", Write: writeWireList},
}
