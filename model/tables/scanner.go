package tables

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// Row is one row of cells as a file holds it.
type Row struct {
	Line  int // counted from 1: the line on which the row begins
	Cells []string
}

// RowSource gives rows one after another, the header first. The slice of cells
// is good until the next call; the strings stay. Next returns io.EOF after the
// last row, and an *Error where the file cannot be split into cells.
type RowSource interface {
	Next() (Row, error)
	// DecimalComma says whether numbers may be written with a comma.
	DecimalComma() bool
}

// scanner splits a CSV file into cells: UTF-8 with or without a byte-order
// mark, LF or CRLF, separated by commas or semicolons, as the header row
// decides. Cells in quotes may hold separators, line ends (kept as LF) and
// doubled quotes; cells without are trimmed. Rows whose cells are all empty
// are skipped.
//
// encoding/csv is not enough here: it cannot tell a quoted space from one that
// was typed around a cell, reports an open quote at the end of the file, and
// lets a lone carriage return pass as text.
type scanner struct {
	file   string
	reader *bufio.Reader
	comma  byte   // 0 until the header is seen
	line   int    // lines read so far
	long   []byte // a line that did not fit the reader's buffer
	text   []byte // the row's cells, one after another
	ends   []int  // where in text each cell ends
	cells  []string
	ended  bool
	header bool // has been returned
}

// maxRowBytes stops a quote that is never closed from swallowing a large file.
const maxRowBytes = 1 << 20

const (
	loneCR = "a carriage return stands alone"
	mendCR = "save the file with LF or CRLF line ends"
)

const byteOrderMark = "\xef\xbb\xbf"

func newScanner(file string, r io.Reader) *scanner {
	return &scanner{file: file, reader: bufio.NewReaderSize(r, 256<<10)}
}

// DecimalComma says that the file is separated by semicolons, as spreadsheets
// write it where the comma is the decimal mark.
func (s *scanner) DecimalComma() bool { return s.comma == ';' }

// Next returns the next row that is not blank.
func (s *scanner) Next() (Row, error) {
	for {
		line, err := s.readLine()
		if err != nil {
			return Row{}, err
		}
		if s.line == 1 {
			if line, err = s.firstLine(line); err != nil {
				return Row{}, err
			}
		}
		start := s.line
		if blankLine(line) {
			continue
		}
		if s.comma == 0 {
			s.comma = separator(line)
		}
		if err := s.split(line); err != nil {
			return Row{}, err
		}
		if len(s.text) == 0 {
			if !s.header {
				s.comma = 0
			}
			continue
		}
		s.header = true
		if err := s.checkText(start); err != nil {
			return Row{}, err
		}
		all := string(s.text)
		s.cells = s.cells[:0]
		begin := 0
		for _, end := range s.ends {
			s.cells = append(s.cells, Unguard(all[begin:end]))
			begin = end
		}
		return Row{Line: start, Cells: s.cells}, nil
	}
}

// readLine returns the next line with its line end, good until the next call.
func (s *scanner) readLine() ([]byte, error) {
	if s.ended {
		return nil, io.EOF
	}
	line, err := s.reader.ReadSlice('\n')
	if errors.Is(err, bufio.ErrBufferFull) {
		s.long = append(s.long[:0], line...)
		for errors.Is(err, bufio.ErrBufferFull) {
			if len(s.long) > maxRowBytes {
				return nil, s.fail(s.line+1, fmt.Sprintf("the line is longer than %d bytes", maxRowBytes), "end each row with a line end")
			}
			line, err = s.reader.ReadSlice('\n')
			s.long = append(s.long, line...)
		}
		line = s.long
	}
	if err != nil && !errors.Is(err, io.EOF) {
		return nil, &Error{File: s.file, Line: s.line + 1, Problem: err.Error(), Mend: "check the disk, then try again", Err: err}
	}
	if err != nil {
		s.ended = true
		if len(line) == 0 {
			return nil, io.EOF
		}
	}
	s.line++
	return line, nil
}

// firstLine takes the byte-order mark off, and knows two encodings that are
// not UTF-8 by theirs.
func (s *scanner) firstLine(line []byte) ([]byte, error) {
	if bytes.HasPrefix(line, []byte("\xff\xfe")) || bytes.HasPrefix(line, []byte("\xfe\xff")) {
		return nil, &Error{File: s.file, Line: 1, Problem: "the file is UTF-16", Mend: "save it as UTF-8"}
	}
	return bytes.TrimPrefix(line, []byte(byteOrderMark)), nil
}

// split fills text and ends with the cells of a row that begins with line, and
// reads further lines while a quote is open.
func (s *scanner) split(line []byte) error {
	s.text, s.ends = s.text[:0], s.ends[:0]
	line = withoutEnd(line)
	for {
		for len(line) > 0 && (line[0] == ' ' || line[0] == '\t') && line[0] != s.comma {
			line = line[1:]
		}
		var err error
		if len(line) > 0 && line[0] == '"' {
			line, err = s.quoted(line[1:])
		} else {
			line, err = s.plain(line)
		}
		if err != nil {
			return err
		}
		s.ends = append(s.ends, len(s.text))
		if len(line) == 0 {
			return nil
		}
		line = line[1:] // the separator
	}
}

// plain takes a cell without quotes and returns the rest, which is empty or
// begins with the separator.
func (s *scanner) plain(line []byte) (rest []byte, err error) {
	cell := line
	if at := bytes.IndexByte(line, s.comma); at >= 0 {
		cell, rest = line[:at], line[at:]
	}
	if bytes.IndexByte(cell, '\r') >= 0 {
		return nil, s.fail(s.line, loneCR, mendCR)
	}
	if bytes.IndexByte(cell, '"') >= 0 {
		return nil, s.fail(s.line, fmt.Sprintf("a quote stands inside the cell %s", quoteClip(cell)),
			"put the whole cell in quotes and write the quote twice")
	}
	s.text = append(s.text, bytes.TrimRight(cell, " \t")...)
	return rest, nil
}

// quoted takes a cell after its opening quote.
func (s *scanner) quoted(line []byte) (rest []byte, err error) {
	opened, begin := s.line, len(s.text)
	for {
		at := bytes.IndexByte(line, '"')
		if at < 0 {
			s.text = append(s.text, line...)
			s.text = append(s.text, '\n')
			if len(s.text) > maxRowBytes {
				return nil, s.fail(opened, fmt.Sprintf("the quote that opens here is not closed within %d bytes", maxRowBytes), "close it, or write a quote inside a cell twice")
			}
			line, err = s.readLine()
			if errors.Is(err, io.EOF) {
				return nil, s.fail(opened, "the quote that opens here is never closed", "close it, or write a quote inside a cell twice")
			}
			if err != nil {
				return nil, err
			}
			line = withoutEnd(line)
			continue
		}
		s.text = append(s.text, line[:at]...)
		line = line[at+1:]
		if len(line) > 0 && line[0] == '"' {
			s.text = append(s.text, '"')
			line = line[1:]
			continue
		}
		break
	}
	if bytes.IndexByte(s.text[begin:], '\r') >= 0 {
		s.text = append(s.text[:begin], strings.ReplaceAll(string(s.text[begin:]), "\r", "\n")...)
	}
	line = bytes.TrimLeft(line, " \t")
	if len(line) > 0 && line[0] == '\r' {
		return nil, s.fail(s.line, loneCR, mendCR)
	}
	if len(line) > 0 && line[0] != s.comma {
		return nil, s.fail(opened, fmt.Sprintf("after the closing quote stands %s", quoteClip(line)),
			fmt.Sprintf("put a %q there, or write a quote inside a cell twice", s.comma))
	}
	return line, nil
}

// checkText refuses what no cell may hold.
func (s *scanner) checkText(start int) error {
	if utf8.Valid(s.text) && bytes.IndexByte(s.text, 0) < 0 {
		return nil
	}
	begin := 0
	for at, end := range s.ends {
		cell := s.text[begin:end]
		if !utf8.Valid(cell) {
			return s.failCell(start, at, fmt.Sprintf("%s is no UTF-8", quoteClip(cell)), "save the file as UTF-8")
		}
		if bytes.IndexByte(cell, 0) >= 0 {
			return s.failCell(start, at, fmt.Sprintf("%s holds a NUL character", quoteClip(cell)), "delete it")
		}
		begin = end
	}
	return nil
}

// cellError is an Error about a cell whose column's name the scanner does not
// know: Table.Read fills it in.
type cellError struct {
	at   Error
	cell int // counted from 0
}

func (e *cellError) Error() string { return e.at.Error() }

func (s *scanner) fail(line int, problem, mend string) error {
	return s.failCell(line, len(s.ends), problem, mend)
}

func (s *scanner) failCell(line, cell int, problem, mend string) error {
	return &cellError{at: Error{File: s.file, Line: line, Problem: problem, Mend: mend}, cell: cell}
}

// separator is the comma or semicolon that comes first outside quotes; a
// header of one column has neither.
func separator(header []byte) byte {
	inQuotes := false
	for _, c := range header {
		switch {
		case c == '"':
			inQuotes = !inQuotes
		case (c == ',' || c == ';') && !inQuotes:
			return c
		}
	}
	return ','
}

func withoutEnd(line []byte) []byte {
	if rest, found := bytes.CutSuffix(line, []byte("\n")); found {
		return bytes.TrimSuffix(rest, []byte("\r"))
	}
	return line
}

func blankLine(line []byte) bool {
	for _, c := range withoutEnd(line) {
		if c != ' ' && c != '\t' {
			return false
		}
	}
	return true
}

func quoteClip(text []byte) string {
	if len(text) > 40 {
		return fmt.Sprintf("%q...", text[:40])
	}
	return fmt.Sprintf("%q", text)
}
