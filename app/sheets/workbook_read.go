package sheets

import (
	"archive/zip"
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"bellout/model/tables"
)

// ReadWorkbook reads the tables of a workbook: the sheets that have the name of
// a table, in any order of columns. An empty sheet, the sheet about and those
// that begin with _ are passed by; another name is an error, as an unknown file
// is in a folder. progress may be nil. Errors are *tables.Error, the file named
// as BOOK.xlsx sheet NAME and rows counted as the sheet counts them, but for a
// context that has ended.
//
// The XML is read here, a cell at a time, and not by the library that writes it:
// that one takes a sheet that breaks off for one that ends, and gives a formula
// that was never worked out as an empty cell.
func ReadWorkbook(ctx context.Context, file string, progress func(tables.Progress)) (*tables.Content, error) {
	base := filepath.Base(file)
	archive, err := zip.OpenReader(file)
	if err != nil {
		return nil, cannotOpen(base, err)
	}
	defer archive.Close() // read only: nothing can be lost
	about, err := os.Stat(file)
	if err != nil {
		return nil, cannotOpen(base, err)
	}
	if err := checkUnpacked(base, &archive.Reader, about.Size()); err != nil {
		return nil, err
	}
	book, err := openBook(base, &archive.Reader)
	if err != nil {
		return nil, err
	}
	return book.read(ctx, file, progress)
}

// cannotOpen says why a file is no workbook.
func cannotOpen(base string, err error) *tables.Error {
	problem, mend := "cannot be read: "+err.Error(), "look at the path and the disk"
	switch {
	case errors.Is(err, fs.ErrNotExist):
		problem, mend = "there is no such file", "look at the path"
	case errors.Is(err, fs.ErrPermission):
		problem, mend = "you may not read it", "change its permissions"
	case errors.Is(err, zip.ErrFormat), errors.Is(err, zip.ErrAlgorithm), errors.Is(err, zip.ErrChecksum), errors.Is(err, io.ErrUnexpectedEOF):
		problem, mend = "it is no workbook, or a damaged one", "save it as .xlsx, without a password"
	}
	return &tables.Error{File: base, Problem: problem, Mend: mend, Err: err}
}

// openedBook is a workbook with its list of sheets.
type openedBook struct {
	base    string
	parts   map[string]*zip.File
	sheets  []sheetPart
	strings []string // shared by all sheets
	left    uint64   // bytes of parts that may still be opened: many sheets may name one part
}

// sheetPart is one sheet and the part of the archive that holds its cells.
type sheetPart struct{ name, part string }

// A small archive can unpack into anything. Measured: the workbook of a machine
// of 100,000 terminals unpacks into 66 MB, 13 times its size.
const (
	mostBookBytes   = 256 << 20 // of all parts, unpacked
	mostExpansion   = 100       // times the size of the file, from the next size on
	freeOfExpansion = 16 << 20  // bytes
	mostBookStrings = 4 << 20   // that cells share, empty ones too
)

// checkUnpacked refuses, before anything is unpacked, a workbook that would fill
// the memory.
func checkUnpacked(base string, archive *zip.Reader, packed int64) error {
	var unpacked uint64
	for _, part := range archive.File {
		if unpacked += part.UncompressedSize64; part.UncompressedSize64 > mostBookBytes || unpacked > mostBookBytes {
			return &tables.Error{File: base, Problem: fmt.Sprintf("the workbook unpacks into more than %d MB", mostBookBytes>>20),
				Mend: "delete pictures and sheets that are no tables, or import a folder of CSV"}
		}
	}
	if unpacked > freeOfExpansion && unpacked/mostExpansion > uint64(packed) {
		return &tables.Error{File: base, Problem: fmt.Sprintf("the workbook unpacks into %d MB, more than %d times its size", unpacked>>20, mostExpansion),
			Mend: "delete empty rows and columns that were formatted, or import a folder of CSV"}
	}
	return nil
}

// openBook reads the list of sheets and the shared strings.
func openBook(base string, archive *zip.Reader) (*openedBook, error) {
	b := &openedBook{base: base, parts: map[string]*zip.File{}}
	for _, part := range archive.File {
		b.parts[strings.TrimPrefix(part.Name, "/")] = part
		b.left += 2*part.UncompressedSize64 + 1<<10
	}
	workbook := "xl/workbook.xml"
	root, err := b.relations("_rels/.rels")
	if err != nil {
		return nil, err
	}
	for _, relation := range root {
		if strings.HasSuffix(relation.kind, "/officeDocument") {
			workbook = resolved("", relation.target)
		}
	}
	folder := path.Dir(workbook)
	relations, err := b.relations(path.Join(folder, "_rels", path.Base(workbook)+".rels"))
	if err != nil {
		return nil, err
	}
	err = b.walk(workbook, func(e xml.StartElement, _ *xml.Decoder) error {
		if e.Name.Local != "sheet" {
			return nil
		}
		part := sheetPart{name: attribute(e, "name")}
		if relation, found := relations[attribute(e, "id")]; found && strings.HasSuffix(relation.kind, "/worksheet") {
			part.part = resolved(folder, relation.target)
		}
		b.sheets = append(b.sheets, part)
		return nil
	})
	if err != nil {
		return nil, err
	}
	if len(b.sheets) == 0 {
		return nil, b.damaged("there is no sheet in it", nil)
	}
	for _, relation := range relations {
		if strings.HasSuffix(relation.kind, "/sharedStrings") {
			if err := b.readStrings(resolved(folder, relation.target)); err != nil {
				return nil, err
			}
		}
	}
	return b, nil
}

type relation struct{ kind, target string }

// relations reads a part that says where other parts are; none where there is
// no such part.
func (b *openedBook) relations(part string) (map[string]relation, error) {
	found := map[string]relation{}
	if b.parts[part] == nil {
		return found, nil
	}
	return found, b.walk(part, func(e xml.StartElement, _ *xml.Decoder) error {
		if e.Name.Local == "Relationship" && attribute(e, "TargetMode") != "External" {
			found[attribute(e, "Id")] = relation{attribute(e, "Type"), attribute(e, "Target")}
		}
		return nil
	})
}

// resolved is where a target lies that is written from a folder.
func resolved(folder, target string) string {
	if rest, absolute := strings.CutPrefix(target, "/"); absolute {
		return path.Clean(rest)
	}
	return path.Join(folder, target)
}

// readStrings reads the strings that cells share: each its runs, without the
// hints on how to pronounce them.
func (b *openedBook) readStrings(part string) error {
	if b.parts[part] == nil {
		return nil
	}
	return b.walk(part, func(e xml.StartElement, d *xml.Decoder) error {
		if e.Name.Local != "si" {
			return nil
		}
		text, err := readRuns(d)
		if b.strings = append(b.strings, text); len(b.strings) > mostBookStrings {
			return errors.New("it shares too many texts")
		}
		return err
	})
}

// readRuns joins the texts of the runs up to the end of the element that the
// decoder has just entered.
func readRuns(d *xml.Decoder) (string, error) {
	var text strings.Builder
	aside := 0 // inside a hint
	inText := 0
	for depth := 1; depth > 0; {
		token, err := d.Token()
		if err != nil {
			return "", err
		}
		switch t := token.(type) {
		case xml.StartElement:
			depth++
			switch t.Name.Local {
			case "rPh":
				aside++
			case "t":
				inText++
			}
		case xml.EndElement:
			depth--
			switch t.Name.Local {
			case "rPh":
				aside--
			case "t":
				inText--
			}
		case xml.CharData:
			if inText > 0 && aside == 0 {
				text.Write(t)
			}
		}
	}
	return unescaped(text.String()), nil
}

// walk calls do for every element of a part, until its end; do may read the
// element to its end.
func (b *openedBook) walk(part string, do func(xml.StartElement, *xml.Decoder) error) error {
	decoder, closer, err := b.open(part)
	if err != nil {
		return err
	}
	defer closer.Close() // read only: nothing can be lost
	for {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err == nil {
			if element, isStart := token.(xml.StartElement); isStart {
				err = do(element, decoder)
			}
		}
		if err != nil {
			return b.damaged("the part "+part+" cannot be read", err)
		}
	}
}

func (b *openedBook) open(part string) (*xml.Decoder, io.Closer, error) {
	found := b.parts[part]
	if found == nil {
		return nil, nil, b.damaged("the part "+part+" is missing", nil)
	}
	if found.UncompressedSize64 > b.left {
		return nil, nil, b.damaged("it asks for the part "+part+" again and again", nil)
	}
	b.left -= found.UncompressedSize64
	stream, err := found.Open()
	if err != nil {
		return nil, nil, b.damaged("the part "+part+" cannot be read", err)
	}
	return xml.NewDecoder(io.LimitReader(stream, int64(found.UncompressedSize64))), stream, nil
}

func (b *openedBook) damaged(problem string, err error) *tables.Error {
	if err != nil {
		problem += ": " + err.Error()
	}
	return &tables.Error{File: b.base, Problem: "the workbook is damaged, " + problem, Mend: "open it in a spreadsheet and save it again as .xlsx", Err: err}
}

func attribute(e xml.StartElement, local string) string {
	for _, a := range e.Attr {
		if a.Name.Local == local {
			return a.Value
		}
	}
	return ""
}

// read takes the tables in the order in which rows refer to earlier ones.
func (b *openedBook) read(ctx context.Context, from string, progress func(tables.Progress)) (*tables.Content, error) {
	found, err := b.tableSheets(ctx)
	if err != nil {
		return nil, err
	}
	var state tables.Progress
	for _, sheet := range found {
		state.Total += int64(b.parts[sheet.part].UncompressedSize64)
	}
	content := &tables.Content{From: from}
	for _, t := range tables.Tables {
		sheet, there := found[sheetName(t)]
		if !there {
			continue
		}
		source, err := b.source(t, sheet)
		if err != nil {
			return nil, err
		}
		bytesBefore, rowsBefore, rows := state.Bytes, state.Rows, 0
		err = t.Read(ctx, content, source.file, source, func(count int) {
			rows = count
			state.File, state.Bytes, state.Rows = "sheet "+sheet.name, bytesBefore+source.decoder.InputOffset(), rowsBefore+count
			if progress != nil {
				progress(state)
			}
		})
		if closed := source.closer.Close(); err == nil && closed != nil {
			err = b.damaged("sheet "+sheet.name+" cannot be read", closed)
		}
		if err != nil {
			return nil, err
		}
		state.Rows = rowsBefore + rows
	}
	return content, nil
}

// tableSheets finds the sheet of each table, and refuses one that may be a table
// under a wrong name.
func (b *openedBook) tableSheets(ctx context.Context) (map[string]sheetPart, error) {
	var known []string
	for _, t := range tables.Tables {
		known = append(known, sheetName(t))
	}
	found := map[string]sheetPart{}
	for _, sheet := range b.sheets {
		name := strings.TrimSuffix(strings.ToLower(strings.TrimSpace(sheet.name)), ".csv")
		switch {
		case name == aboutSheet || strings.HasPrefix(name, "_"):
			continue
		case slices.Contains(known, name) && b.parts[sheet.part] != nil:
			if twin, twice := found[name]; twice {
				return nil, &tables.Error{File: b.base, Problem: fmt.Sprintf("the sheets %q and %q are both the table %s", twin.name, sheet.name, name), Mend: "keep one of the two"}
			}
			found[name] = sheet
			continue
		}
		if empty, err := b.empty(ctx, sheet); err != nil {
			return nil, err
		} else if empty {
			continue
		}
		return nil, &tables.Error{File: fmt.Sprintf("%s sheet %s", b.base, sheet.name), Problem: "no table has this name",
			Mend: "the tables are " + strings.Join(known, ", ") + "; begin the name of a sheet of your own with _"}
	}
	if len(found) == 0 {
		return nil, &tables.Error{File: b.base, Problem: "the workbook holds no table", Mend: "name the sheets " + strings.Join(known, ", ")}
	}
	return found, nil
}

// empty says whether nothing stands on a sheet.
func (b *openedBook) empty(ctx context.Context, sheet sheetPart) (bool, error) {
	if b.parts[sheet.part] == nil {
		return false, nil // a chart
	}
	source, err := b.source(nil, sheet)
	if err != nil {
		return false, err
	}
	_, err = source.Next()
	if closed := source.closer.Close(); closed != nil && (err == nil || errors.Is(err, io.EOF)) {
		return false, b.damaged("sheet "+sheet.name+" cannot be read", closed)
	}
	if errors.Is(err, io.EOF) {
		return true, ctx.Err()
	}
	return false, ctx.Err()
}
