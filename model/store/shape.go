package store

import (
	"errors"
	"fmt"
	"slices"
	"sync"
)

// A project from a stranger may hold more than a project does: a trigger that runs
// with the first edit, a view in the place of a table, a table without its checks.
// So the shape of a file is compared with that of a new one of its version before
// any statement touches what it holds.

// thing is one row of SQLite's table of all tables, indexes, views and triggers.
type thing struct{ kind, name string }

// shape is what a file consists of, each thing with the text that makes it.
type shape map[thing]string

func (c *conn) shape() (shape, error) {
	found := shape{}
	err := c.each("SELECT type, name, tbl_name, ifnull(sql, '') FROM main.sqlite_schema", 4, func(row *cells) error {
		one := thing{row.text(0), row.text(1)}
		if _, twice := found[one]; twice {
			return fmt.Errorf("%s %s is there twice", one.kind, one.name)
		}
		found[one] = row.text(2) + "\n" + row.text(3)
		return nil
	})
	return found, err
}

// newShapes holds the shape of a new file of each version, once it was asked for.
var newShapes struct {
	sync.Mutex
	of map[int]shape
}

// newShape returns the shape of a new file of a version, 1 to len(migrations).
func newShape(version int) (shape, error) {
	newShapes.Lock()
	defer newShapes.Unlock()
	if known, there := newShapes.of[version]; there {
		return known, nil
	}
	c, err := memoryConn()
	if err != nil {
		return nil, err
	}
	err = c.db.RegisterFunc("row_digest", rowDigest, true)
	for _, script := range migrations[:version] {
		if err == nil {
			err = c.script(script)
		}
	}
	var made shape
	if err == nil {
		made, err = c.shape()
	}
	if err := errors.Join(err, c.close()); err != nil {
		return nil, err
	}
	if newShapes.of == nil {
		newShapes.of = map[int]shape{}
	}
	newShapes.of[version] = made
	return made, nil
}

// analyzed are the tables that SQLite keeps for its planner where somebody ran
// ANALYZE. Only in this form: a table of that name may do anything.
var analyzed = []string{"sqlite_stat1\nCREATE TABLE sqlite_stat1(tbl,idx,stat)", "sqlite_stat4\nCREATE TABLE sqlite_stat4(tbl,idx,neq,nlt,ndlt,sample)"}

// checkShape refuses a file that consists of anything else than a new one of its
// version does.
func checkShape(c *conn, path string, version int) error {
	want, err := newShape(version)
	if err != nil {
		return err
	}
	found, err := c.shape()
	if err != nil {
		return err
	}
	for one, text := range found {
		switch should, known := want[one]; {
		case !known && one.kind == "table" && slices.Contains(analyzed, text):
		case !known:
			return altered(path, fmt.Sprintf("the %s %q is no part of a Bellout project", one.kind, one.name))
		case text != should:
			return altered(path, fmt.Sprintf("the %s %q is not the one of a Bellout project", one.kind, one.name))
		}
	}
	for one := range want {
		if _, there := found[one]; !there {
			return altered(path, fmt.Sprintf("the %s %q is missing", one.kind, one.name))
		}
	}
	return nil
}

func altered(path, problem string) *Error {
	return &Error{Kind: ErrAltered, Path: path, Problem: "some other program changed how the file is built: " + problem,
		Mend: "nothing of it was run; go on with a backup, or ask whoever sent it for the tables (export --as csv)"}
}
