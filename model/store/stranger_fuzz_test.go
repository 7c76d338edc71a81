package store

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// FuzzProjectFromAStranger changes one thing of a sound project as somebody else may
// have: a cell of SQLite's own list of tables, a cell of a table past its checks and
// triggers, bytes of the file. To open it either works, and then the tables keep
// every rule, or gives one line; the file stays as it was, and nothing that is
// asked of it later ends the program.
func FuzzProjectFromAStranger(f *testing.F) {
	synchronous = "OFF" // no power fails here
	sound := soundProject(f)
	for at, value := range []string{"", "a", "trigger", "CREATE VIEW a AS SELECT 1", "-1", "9e99", "2026-01-01T00:00:00Z", "[{}]", "RDBK", "\x00\xff\n"} {
		for kind := range byte(3) {
			f.Add(kind, uint16(at*7), uint16(at), []byte(value))
		}
	}
	f.Add(byte(2), uint16(0), uint16(offUserVersion), []byte{0, 0, 0, 1})
	f.Fuzz(func(t *testing.T, kind byte, which, at uint16, value []byte) {
		path := filepath.Join(t.TempDir(), "x.bellout")
		content := append([]byte{}, sound...)
		if kind%3 == 2 {
			copy(content[(int(which)<<9+int(at))%len(content):], value)
		}
		must(t, os.WriteFile(path, content, 0o644))
		if kind%3 != 2 && alter(path, kind%3 == 1, int(which), int(at), value) != nil {
			return // SQLite itself takes no such thing
		}
		for _, mode := range []Mode{ReadOnly, ReadWrite} {
			before := folder(t, filepath.Dir(path))
			opened, err := Open(path, mode)
			if err == nil {
				breaksNothing(t, path)
				err = errors.Join(lookThrough(opened), opened.Close())
			}
			if err != nil {
				oneOfOurs(t, err)
			}
			if after := folder(t, filepath.Dir(path)); after != before {
				t.Fatalf("mode %d: the folder changed from\n%s\nto\n%s", mode, before, after)
			}
			if err == nil && mode == ReadWrite {
				again, err := Open(path, mode)
				must(t, err)
				if _, err := again.Undo(); err != nil {
					oneOfOurs(t, err)
				}
				must(t, again.Close())
			}
		}
	})
}

func soundProject(f *testing.F) []byte {
	file, path := create(f)
	for _, step := range allSteps() {
		must(f, step.do(file))
	}
	must(f, errors.Join(keepGoldenBench(file), file.NameState("as found"), file.Close()))
	content, err := os.ReadFile(path)
	must(f, err)
	return content
}

// oneOfOurs demands one line of an error.
func oneOfOurs(t *testing.T, err error) {
	t.Helper()
	if _, ours := errors.AsType[*Error](err); !ours || strings.ContainsAny(err.Error(), "\r\n\x1b") {
		t.Fatalf("%T %q", err, err)
	}
}

// breaksNothing demands that a file that is let in keeps every rule of its tables.
func breaksNothing(t *testing.T, path string) {
	t.Helper()
	c, err := openConn(path, "mode=rw", 0)
	must(t, err)
	said, err := texts(c, "PRAGMA quick_check")
	if must(t, errors.Join(err, c.close())); len(said) != 1 || said[0] != "ok" {
		t.Fatalf("it was let in: %q", said)
	}
}

// lookThrough asks a file for what it holds.
func lookThrough(f *File) (err error) {
	rows, journalErr := f.Journal(0)
	states, stateErr := f.States()
	_, benchErr := f.Bench()
	err = errors.Join(journalErr, stateErr, benchErr)
	for _, row := range rows {
		if _, editErr := f.JournalEdit(row.ID); err == nil {
			err = editErr
		}
	}
	for _, state := range states {
		if _, stateErr := f.MachineAt(state.Name); err == nil {
			err = stateErr
		}
	}
	return err
}

// alter sets one cell: of a table past its checks and triggers, or of SQLite's list
// of tables.
func alter(path string, table bool, which, at int, value []byte) (err error) {
	c, err := openConn(path, "mode=rw", 0)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, c.close()) }()
	if err := c.script("PRAGMA foreign_keys=OFF; PRAGMA ignore_check_constraints=ON; PRAGMA synchronous=OFF; PRAGMA journal_mode=MEMORY; PRAGMA writable_schema=ON"); err != nil {
		return err
	}
	name, columns := "main.sqlite_schema", []string{"type", "name", "tbl_name", "rootpage", "sql"}
	var triggers []string
	if table {
		if name, columns, err = tableOf(c, at); err != nil {
			return err
		}
		if triggers, err = texts(c, "SELECT sql FROM sqlite_schema WHERE type = 'trigger'"); err != nil {
			return err
		}
		names, err := texts(c, "SELECT name FROM sqlite_schema WHERE type = 'trigger'")
		if err != nil {
			return err
		}
		for _, name := range names {
			if err := c.script("DROP TRIGGER " + name); err != nil {
				return err
			}
		}
	}
	count, err := c.number("SELECT count(*) FROM " + name)
	if err != nil || count == 0 {
		return errors.Join(err, errNoRow)
	}
	var to any = value
	if kind := which % 3; kind == 0 {
		to = string(value)
	} else if kind == 1 && len(value) > 0 {
		to = int64(int8(value[0]))
	}
	_, err = c.exec(fmt.Sprintf("UPDATE %s SET %s = ?1 WHERE rowid = (SELECT rowid FROM %[1]s LIMIT 1 OFFSET ?2)", name, columns[which/3%len(columns)]), to, int64(which)%count)
	for _, trigger := range triggers {
		err = errors.Join(err, c.script(trigger))
	}
	return err
}

func tableOf(c *conn, at int) (name string, columns []string, err error) {
	names, err := texts(c, "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite%' ORDER BY name")
	if err != nil {
		return "", nil, err
	}
	name = names[at%len(names)]
	columns, err = texts(c, "SELECT name FROM pragma_table_info('"+name+"')")
	return name, columns, err
}

func texts(c *conn, query string) (list []string, err error) {
	err = c.each(query, 1, func(row *cells) error { list = append(list, row.text(0)); return nil })
	return list, err
}
