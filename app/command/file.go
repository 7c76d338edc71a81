package command

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"

	"bellout/app/textout"
	"bellout/model"
	"bellout/model/atomicfile"
	"bellout/model/store"
)

// readMachine loads what a project file says now; the file is not written to.
func readMachine(ctx context.Context, path string) (*model.Machine, error) {
	file, err := openFile(ctx, path, store.ReadOnly)
	if err != nil {
		return nil, err
	}
	machine := file.Machine()
	return machine, file.Close()
}

// openFile opens a project file that must be there; it ends early with ctx.
func openFile(ctx context.Context, path string, mode store.Mode, options ...store.Option) (*store.File, error) {
	switch at, err := os.Stat(path); {
	case errors.Is(err, os.ErrNotExist) && isLink(path):
		return nil, fmt.Errorf("%s: a link to a file that is not there; name a project file", path)
	case errors.Is(err, os.ErrNotExist):
		return nil, fmt.Errorf("%s: no such file; bellout import %s DIR makes it from CSV, bellout demo FILE makes one to try", path, path)
	case err != nil:
		return nil, fmt.Errorf("%s: cannot be opened (%w); name a project file", path, atomicfile.Cause(err))
	case at.IsDir():
		return nil, fmt.Errorf("%s is a folder; name a project file, or make one with bellout import FILE %s", path, path)
	}
	return store.Open(path, mode, append(options, store.WithContext(ctx))...)
}

func isLink(path string) bool {
	about, err := os.Lstat(path)
	return err == nil && about.Mode()&os.ModeSymlink != 0
}

// printJSON writes one line of JSON, clean as the text that people read.
func (c *Console) printJSON(value any) error {
	var line bytes.Buffer
	encoder := json.NewEncoder(&line)
	encoder.SetEscapeHTML(false)
	err := encoder.Encode(value)
	if err == nil {
		_, err = c.Out.Write(textout.CleanJSON(line.Bytes()))
	}
	return c.written(err)
}

// print lays out a page for people.
func (c *Console) print(lay func(*textout.Page)) error {
	p := textout.New(c.Out, c.Width, c.Colour)
	lay(p)
	return c.written(p.Flush())
}

func (c *Console) written(err error) error {
	if err != nil {
		return fmt.Errorf("the answer cannot be written: %w; look at where the output goes", atomicfile.Cause(err))
	}
	return nil
}

// listed is a list that JSON never shows as null.
func listed[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}
