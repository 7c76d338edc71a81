package tables

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"bellout/model"
	"bellout/model/atomicfile"
)

// WriteFolder writes a machine as a folder of CSV files in their canonical
// form: UTF-8, commas, LF, every column in the order of the README, rows sorted
// as people read them, quotes only where they are needed. The same machine
// gives the same bytes.
//
// devices.csv and terminals.csv are always written, the others where the
// machine has rows for them; one that is there from before and has none now
// keeps only its header. Files that are there are replaced only if replace says
// so, when all are whole; other files of the folder are left alone. The folder
// is made if need be. It ends early with ctx, and then leaves what was there.
func WriteFolder(ctx context.Context, m *model.Machine, dir string, replace bool) error {
	dir = filepath.Clean(dir)
	about, missing := os.Stat(dir)
	if missing == nil && !about.IsDir() {
		return &Error{File: dir, Problem: "it is a file, not a folder", Mend: "name another folder"}
	}
	sorted := m.Sorted()
	var files []atomicfile.File
	for _, t := range Tables {
		wanted, err := isWanted(t, sorted, dir)
		if err != nil {
			return err
		}
		if wanted {
			files = append(files, atomicfile.File{Name: t.File(), Write: func(w io.Writer) error { return writeTable(ctx, w, t, sorted) }})
		}
	}
	if missing == nil {
		return atomicfile.WriteAll(dir, replace, files...)
	}
	if err := os.MkdirAll(filepath.Dir(dir), 0o777); err != nil {
		return cannotWrite(dir, err)
	}
	return atomicfile.WriteNewFolder(dir, files...)
}

func isWanted(t Table, m *model.Machine, dir string) (bool, error) {
	if t.Name() == model.TableDevice || t.Name() == model.TableTerminal {
		return true, nil
	}
	if err := t.Cells(m, func([]string) error { return errFound }); err != nil {
		return true, nil
	}
	_, err := os.Lstat(filepath.Join(dir, t.File()))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return false, cannotWrite(filepath.Join(dir, t.File()), err)
	}
	return err == nil, nil
}

// errFound stops a walk that has seen enough.
var errFound = errors.New("found")

// WriteCSV writes one table of a machine, whose rows are in the order of
// SortRows, in canonical form.
func WriteCSV(w io.Writer, t Table, m *model.Machine) error {
	return writeTable(context.Background(), w, t, m)
}

func writeTable(ctx context.Context, w io.Writer, t Table, m *model.Machine) error {
	out := bufio.NewWriterSize(w, 256<<10)
	if err := writeRow(out, t.Header()); err != nil {
		return err
	}
	err := t.Cells(m, func(cells []string) error {
		if err := ctx.Err(); err != nil {
			return err
		}
		return writeRow(out, cells)
	})
	if err != nil {
		return err
	}
	return out.Flush()
}

func writeRow(out *bufio.Writer, cells []string) error {
	for i, cell := range cells {
		if i > 0 {
			out.WriteByte(',') // errors stay with the writer and come up below
		}
		writeCell(out, cell)
	}
	return out.WriteByte('\n')
}

// writeCell writes the text so that it is read back as it is: see Guard for one
// that looks like a formula. Quotes stand only where the text would be read
// otherwise.
func writeCell(out *bufio.Writer, text string) {
	text = Guard(text)
	if !needsQuotes(text) {
		out.WriteString(text)
		return
	}
	out.WriteByte('"')
	out.WriteString(strings.ReplaceAll(lineFeeds(text), `"`, `""`))
	out.WriteByte('"')
}

func needsQuotes(text string) bool {
	if text == "" {
		return false
	}
	first, last := text[0], text[len(text)-1]
	return first == ' ' || first == '\t' || last == ' ' || last == '\t' || strings.ContainsAny(text, ",\"\r\n")
}

// lineFeeds writes every line end inside a text as LF, as it is read.
func lineFeeds(text string) string {
	if !strings.Contains(text, "\r") {
		return text
	}
	return strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
}

func cannotWrite(path string, err error) *Error {
	mend := "look at the path and the space on the disk"
	if errors.Is(err, fs.ErrPermission) {
		mend = "change its permissions, or name another folder"
	}
	return &Error{File: path, Problem: fmt.Sprintf("cannot be written: %v", err), Mend: mend, Err: err}
}
