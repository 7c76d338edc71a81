package tables

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// Progress says how far a long read has come.
type Progress struct {
	File  string // the file that is being read
	Bytes int64  // of all files, read so far
	Total int64  // of all files
	Rows  int    // of all files, read so far
}

// ReadFolder reads every table of a folder. It changes nothing; which files
// must be there is decided by EditFor, when it is known what for. progress may
// be nil; it is called now and then and at the end of each file. Errors are
// *Error, but for a context that has ended. Cost: one pass over the bytes; the
// rows stay in memory.
func ReadFolder(ctx context.Context, dir string, progress func(Progress)) (*Content, error) {
	sizes, err := tableFiles(dir)
	if err != nil {
		return nil, err
	}
	var state Progress
	for _, size := range sizes {
		state.Total += size
	}
	content := &Content{From: dir}
	for _, t := range Tables {
		if _, there := sizes[t.File()]; !there {
			continue
		}
		if err := readFile(ctx, content, dir, t, &state, progress); err != nil {
			return nil, err
		}
	}
	return content, nil
}

func readFile(ctx context.Context, content *Content, dir string, t Table, state *Progress, progress func(Progress)) error {
	file, err := os.Open(filepath.Join(dir, t.File()))
	if err != nil {
		return cannotRead(t.File(), err)
	}
	defer file.Close() // read only: nothing can be lost
	counted := &countingReader{from: file}
	bytesBefore, rowsBefore := state.Bytes, state.Rows
	return t.Read(ctx, content, t.File(), newScanner(t.File(), counted), func(rows int) {
		state.File, state.Bytes, state.Rows = t.File(), bytesBefore+counted.count, rowsBefore+rows
		if progress != nil {
			progress(*state)
		}
	})
}

// ReadCSV reads one table from a stream of CSV into the content.
func (c *Content) ReadCSV(ctx context.Context, t Table, from io.Reader) error {
	return t.Read(ctx, c, t.File(), newScanner(t.File(), from), func(int) {})
}

// tableFiles returns the sizes of the tables' files in a folder, and refuses a
// CSV file with a name it does not know: a misspelt one must not be lost in
// silence. Other files are not looked at.
func tableFiles(dir string) (map[string]int64, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		if about, errStat := os.Stat(dir); errStat == nil && !about.IsDir() {
			return nil, &Error{File: dir, Problem: "it is a file, not a folder", Mend: "name the folder that holds " + strings.Join(FileNames()[1:3], " and ")}
		}
		return nil, cannotRead(dir, err)
	}
	known := FileNames()
	sizes := map[string]int64{}
	for _, entry := range entries {
		name := entry.Name()
		if strings.HasPrefix(name, ".") || !strings.EqualFold(filepath.Ext(name), ".csv") {
			continue
		}
		if !slices.Contains(known, name) {
			return nil, &Error{File: name, Problem: "no table has this name", Mend: fileMend(name, known)}
		}
		about, err := os.Stat(filepath.Join(dir, name))
		if err != nil {
			return nil, cannotRead(name, err)
		}
		if !about.Mode().IsRegular() {
			return nil, &Error{File: name, Problem: "it is no plain file", Mend: "put the table there, or rename it"}
		}
		sizes[name] = about.Size()
	}
	if len(sizes) == 0 {
		return nil, &Error{File: dir, Problem: "the folder holds no table", Mend: "put " + strings.Join(known[1:3], " and ") + " there, or name another folder"}
	}
	return sizes, nil
}

func fileMend(name string, known []string) string {
	best, least := "", 3
	for _, file := range known {
		if steps := editSteps(strings.ToLower(name), file); steps < least {
			best, least = file, steps
		}
	}
	list := "the tables are " + strings.Join(known, ", ")
	if best != "" {
		return fmt.Sprintf("did you mean %s? %s; rename other files so that they do not end in .csv", best, list)
	}
	return list + "; rename other files so that they do not end in .csv"
}

// cannotRead says in a line why the operating system gives a file no reader.
func cannotRead(name string, err error) *Error {
	problem, mend := "cannot be read: "+err.Error(), "look at the path and the disk"
	switch {
	case errors.Is(err, fs.ErrNotExist):
		problem, mend = "there is no such folder or file", "look at the path"
	case errors.Is(err, fs.ErrPermission):
		problem, mend = "you may not read it", "change its permissions"
	}
	return &Error{File: name, Problem: problem, Mend: mend, Err: err}
}

type countingReader struct {
	from  io.Reader
	count int64
}

func (c *countingReader) Read(into []byte) (int, error) {
	n, err := c.from.Read(into)
	c.count += int64(n)
	return n, err
}
