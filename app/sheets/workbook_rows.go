package sheets

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf16"

	"bellout/model"
	"bellout/model/tables"
)

// sheetRows gives the rows of one sheet to a table, as the scanner gives those
// of a CSV file: the header first, blank rows left out, each row as long as the
// header.
type sheetRows struct {
	book    *openedBook
	file    string // in errors: BOOK.xlsx sheet NAME
	words   []string
	free    []bool // by column: its texts are kept with the spaces around them
	texts   map[string]bool
	decoder *xml.Decoder
	closer  io.Closer
	row     int // of the row before
	ended   bool
}

// source opens a sheet. Without a table nothing is known of its columns.
func (b *openedBook) source(t tables.Table, sheet sheetPart) (*sheetRows, error) {
	decoder, closer, err := b.open(sheet.part)
	if err != nil {
		return nil, err
	}
	s := &sheetRows{book: b, file: fmt.Sprintf("%s sheet %s", b.base, sheet.name), decoder: decoder, closer: closer, texts: map[string]bool{}}
	if t != nil {
		for _, column := range guided(t) {
			s.texts[column.Name] = freeText[column.Name] || t.Name() == model.TableDevice && column.Name == "kind"
		}
	}
	return s, nil
}

// freeText are the columns that hold what somebody wrote: the spaces around it
// are theirs. In the others a space was typed by mistake, as in CSV.
var freeText = map[string]bool{"title": true, "zone": true, "note": true, "section": true, "cable": true, "reason": true, "meter": true, "struck": true}

// DecimalComma says that a number in a cell of text may be written 0,75: many
// spreadsheets show it so.
func (s *sheetRows) DecimalComma() bool { return true }

// Next returns the next row that is not blank.
func (s *sheetRows) Next() (tables.Row, error) {
	for !s.ended {
		token, err := s.decoder.Token()
		if errors.Is(err, io.EOF) {
			// a sheet without an end was cut off
			return tables.Row{}, s.book.damaged(s.file+" breaks off", io.ErrUnexpectedEOF)
		}
		if err != nil {
			return tables.Row{}, s.book.damaged(s.file+" cannot be read", err)
		}
		switch t := token.(type) {
		case xml.EndElement:
			s.ended = t.Name.Local == "worksheet"
		case xml.StartElement:
			if t.Name.Local != "row" {
				continue
			}
			cells, err := s.readRow(t)
			if err != nil {
				return tables.Row{}, err
			}
			if cells != nil {
				return tables.Row{Line: s.row, Cells: cells}, nil
			}
		}
	}
	return tables.Row{}, io.EOF
}

// readRow reads a row that the decoder has just entered; nil for a blank one.
func (s *sheetRows) readRow(start xml.StartElement) ([]string, error) {
	s.row++
	if written := attribute(start, "r"); written != "" {
		number, err := strconv.Atoi(written)
		if err != nil || number < s.row || number > mostSheetRows {
			return nil, s.book.damaged(fmt.Sprintf("%s has the row %q after row %d", s.file, written, s.row-1), nil)
		}
		s.row = number
	}
	cells := make([]string, len(s.words))
	blank, at := true, -1
	for {
		token, err := s.decoder.Token()
		if err != nil {
			return nil, s.book.damaged(fmt.Sprintf("%s row %d cannot be read", s.file, s.row), err)
		}
		switch t := token.(type) {
		case xml.EndElement:
			if t.Name.Local != "row" {
				continue
			}
			if blank {
				return nil, nil
			}
			if s.words == nil {
				s.setHeader(cells)
			}
			return cells, nil
		case xml.StartElement:
			if t.Name.Local != "c" {
				continue
			}
			at++
			if written := attribute(t, "r"); written != "" {
				if at, err = columnAt(written); err != nil {
					return nil, s.book.damaged(fmt.Sprintf("%s row %d: %v", s.file, s.row, err), nil)
				}
			}
			text, err := s.readCell(t, at)
			if err != nil {
				return nil, err
			}
			if text == "" {
				continue
			}
			if s.words != nil && at >= len(s.words) {
				return nil, s.fail(at, fmt.Sprintf("%q stands under an empty header", clip(text)), "name the column, or empty the cell")
			}
			for at >= len(cells) {
				cells = append(cells, "")
			}
			cells[at], blank = text, false
		}
	}
}

// mostColumns is how many columns a worksheet has.
const mostColumns = 16384

// columnAt reads the column off a cell's reference: 0 for A7.
func columnAt(reference string) (int, error) {
	column := 0
	for i := 0; i < len(reference); i++ {
		c := reference[i] &^ 0x20
		if c < 'A' || c > 'Z' {
			break
		}
		if column = 26*column + int(c-'A') + 1; column > mostColumns {
			break
		}
	}
	if column < 1 || column > mostColumns {
		return 0, fmt.Errorf("there is no cell %q", reference)
	}
	return column - 1, nil
}

func (s *sheetRows) setHeader(cells []string) {
	for at := range cells {
		cells[at] = strings.TrimSpace(cells[at])
	}
	s.words = append([]string{}, cells...)
	s.free = make([]bool, len(s.words))
	for at, word := range s.words {
		s.free[at] = s.texts[word]
	}
}

// readCell reads a cell that the decoder has just entered.
func (s *sheetRows) readCell(start xml.StartElement, at int) (string, error) {
	kind := attribute(start, "t")
	var value strings.Builder
	inValue, formula, valued := false, false, false
	inline := ""
	for depth := 1; depth > 0; {
		token, err := s.decoder.Token()
		if err != nil {
			return "", s.book.damaged(fmt.Sprintf("%s row %d cannot be read", s.file, s.row), err)
		}
		switch t := token.(type) {
		case xml.StartElement:
			depth++
			switch t.Name.Local {
			case "v":
				inValue, valued = true, true
			case "f":
				formula = true
			case "is":
				if inline, err = readRuns(s.decoder); err != nil {
					return "", s.book.damaged(fmt.Sprintf("%s row %d cannot be read", s.file, s.row), err)
				}
				depth--
			}
		case xml.EndElement:
			depth--
			inValue = false
		case xml.CharData:
			if inValue {
				value.Write(t)
			}
		}
	}
	if formula && !valued {
		return "", s.fail(at, "the formula in this cell was never worked out", "open the book in a spreadsheet, save it again, or write the value")
	}
	text, err := s.meaning(kind, value.String(), inline, at)
	if err != nil {
		return "", err
	}
	text = unclean(strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n"))
	if strings.ContainsRune(text, 0) {
		return "", s.fail(at, "the cell holds a NUL character", "delete it")
	}
	if s.words != nil && at < len(s.free) && s.free[at] {
		return text, nil
	}
	return strings.TrimSpace(text), nil
}

// meaning is what a cell of a kind says, as text.
func (s *sheetRows) meaning(kind, value, inline string, at int) (string, error) {
	switch kind {
	case "s":
		index, err := strconv.Atoi(strings.TrimSpace(value))
		if err != nil || index < 0 || index >= len(s.book.strings) {
			return "", s.book.damaged(fmt.Sprintf("%s row %d asks for the shared string %q", s.file, s.row, value), nil)
		}
		return s.book.strings[index], nil
	case "inlineStr":
		return inline, nil
	case "str":
		return unescaped(value), nil
	case "e":
		return "", s.fail(at, fmt.Sprintf("the cell shows the error %s", value), "mend the formula, or write the value")
	case "b":
		if strings.TrimSpace(value) == "1" {
			return "yes", nil
		}
		return "no", nil
	case "d":
		return value, nil
	default:
		text := strings.TrimSpace(value)
		if number, err := model.ParseNumber(text); err == nil {
			return model.FormatNumber(number), nil // 0.10000000000000001 is 0.1
		}
		return text, nil
	}
}

func (s *sheetRows) fail(at int, problem, mend string) error {
	column := fmt.Sprint(at + 1)
	if at < len(s.words) && s.words[at] != "" {
		column = s.words[at]
	}
	return &tables.Error{File: s.file, Line: s.row, Column: column, Problem: problem, Mend: mend}
}

// clip keeps what an error quotes on its line.
func clip(text string) string {
	if runes := []rune(text); len(runes) > 40 {
		return string(runes[:40]) + "..."
	}
	return text
}

// escapePattern is how a worksheet writes a character that XML cannot hold, and
// one that would look like that (ECMA-376 part 1, 22.9.2.19).
var escapePattern = regexp.MustCompile(`_x[0-9A-Fa-f]{4}_`)

// unescaped undoes those escapes; two halves of a pair are one character.
func unescaped(text string) string {
	if !strings.Contains(text, "_x") {
		return text
	}
	var out []uint16
	rest := text
	for {
		at := escapePattern.FindStringIndex(rest)
		if at == nil {
			break
		}
		code, err := strconv.ParseUint(rest[at[0]+2:at[0]+6], 16, 16)
		if err != nil {
			break // the pattern has four hexadecimal digits
		}
		out = append(append(out, utf16.Encode([]rune(rest[:at[0]]))...), uint16(code))
		rest = rest[at[1]:]
	}
	return string(utf16.Decode(append(out, utf16.Encode([]rune(rest))...)))
}
