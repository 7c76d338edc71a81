package tables

import (
	"context"
	"errors"
	"io/fs"

	"bellout/model"
)

// ReadFS reads the tables of a folder that lies in a file system, as those that
// come with the program do. From names it in errors. A table that is not there
// is empty; what must be there, EditFor says. Errors are *Error.
func ReadFS(ctx context.Context, folder fs.FS, from string) (*Content, error) {
	content := &Content{From: from}
	for _, table := range Tables {
		file, err := folder.Open(table.File())
		if errors.Is(err, fs.ErrNotExist) {
			continue
		} else if err != nil {
			return nil, err
		}
		if err := errors.Join(content.ReadCSV(ctx, table, file), file.Close()); err != nil {
			return nil, err
		}
	}
	return content, nil
}

// Machine returns the machine that the tables make by themselves. Errors are
// *Error.
func (c *Content) Machine() (*model.Machine, error) {
	m := model.NewMachine()
	edit, err := c.EditFor(m)
	if err != nil {
		return nil, err
	}
	if err := m.Apply(edit); err != nil {
		return nil, c.Locate(err)
	}
	return m, nil
}
