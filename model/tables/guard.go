package tables

import (
	"bufio"
	"io"
	"regexp"
	"strings"
	"unicode/utf8"

	"bellout/model"
)

// Guard returns a text as it stands in a CSV cell. One that a spreadsheet would
// take for a formula gets an apostrophe in front, which a spreadsheet shows as
// text and runs nothing; so does one that begins with apostrophes and goes on
// like that, so that Unguard gives back every text as it was. Numbers and marks
// such as + and -12V are no formulas and stay.
func Guard(text string) string {
	if isFormula(strings.TrimLeft(text, "'")) {
		return "'" + text
	}
	return text
}

// Unguard takes the apostrophe of Guard off a cell.
func Unguard(cell string) string {
	if rest, guarded := strings.CutPrefix(cell, "'"); guarded && isFormula(strings.TrimLeft(rest, "'")) {
		return rest
	}
	return cell
}

// isFormula says whether a spreadsheet may take a text for a formula: an equals
// or at sign with something behind it, or a plus or minus before what has an
// operand and an operator too, or before a cell, as in -A1. Some take the wide
// signs of East Asian type for the plain ones.
func isFormula(text string) bool {
	text = strings.TrimLeft(text, " \t\r\n")
	sign, size := utf8.DecodeRuneInString(text)
	rest := text[size:]
	if rest == "" {
		return false
	}
	switch sign {
	case '=', '@', '＝', '＠':
		return true
	case '+', '-', '＋', '－':
		if _, err := model.ParseNumber(text); err == nil {
			return false
		}
		return cellPattern.MatchString(rest) || strings.ContainsAny(rest, operators) && strings.Trim(rest, operators+" ") != ""
	}
	return false
}

const operators = "(!|+-*/^&=<>＋－＊／＝＜＞（"

// cellPattern is what begins like the name of a cell, A1 to XFD1048576, whatever
// comes behind, or R1C1.
var cellPattern = regexp.MustCompile(`^[ +-]*\$?[A-Za-z]{1,3}\$?[0-9]`)

// Writer writes rows of cells in the dialect of the tables, which encoding/csv
// and spreadsheets read too.
type Writer struct{ out *bufio.Writer }

// NewWriter returns a writer to w.
func NewWriter(w io.Writer) *Writer { return &Writer{bufio.NewWriterSize(w, 64<<10)} }

// Write writes one row.
func (w *Writer) Write(cells []string) error { return writeRow(w.out, cells) }

// Flush writes what is left and returns the first error of the writer.
func (w *Writer) Flush() error { return w.out.Flush() }
