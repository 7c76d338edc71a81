package store

import (
	"bytes"
	"errors"
	"os"
	"strings"
	"testing"
)

// What a stranger may have done to a project: it is refused before anything of it
// runs, to read and to write, and stays as it is, byte for byte.
func TestAlteredFilesAreRefused(t *testing.T) {
	const writable = "PRAGMA writable_schema=ON; "
	for _, c := range []struct{ name, script, says string }{
		{"a trigger", "CREATE TRIGGER steal AFTER INSERT ON readings BEGIN DELETE FROM wires; END", `the trigger "steal" is no part of a Bellout project`},
		{"a view in place of a table", "DROP TABLE bonds; CREATE VIEW bonds AS SELECT 1 AS id, 2 AS from_terminal, 3 AS to_terminal, '' AS reason", `"bonds" is no part`},
		{"one view more", "CREATE VIEW extra AS SELECT * FROM wires", `the view "extra"`},
		{"one table more", "CREATE TABLE extra (x)", `the table "extra"`},
		{"one index more", "CREATE INDEX extra ON wires (colour)", `the index "extra"`},
		{"an index less", "DROP INDEX wires_from", `the index "wires_from" is missing`},
		{"a table less", "DROP TABLE bonds", "is missing"},
		{"one column more", "ALTER TABLE devices ADD COLUMN x TEXT", `the table "devices" is not the one`},
		{"a column that is worked out", "ALTER TABLE devices ADD COLUMN x TEXT AS (upper(title)) VIRTUAL", `the table "devices" is not the one`},
		{"a table without its checks", writable + "UPDATE sqlite_schema SET sql = replace(sql, 'CHECK (length_m BETWEEN 0 AND 1.7976931348623157e308)', '') WHERE name = 'wires'", `the table "wires" is not the one`},
		{"a cell that breaks a check", "PRAGMA ignore_check_constraints=ON; UPDATE wires SET length_m = -1", ""},
		{"a table of a name that SQLite might give", writable + "INSERT INTO sqlite_schema VALUES ('table', 'sqlite_stat9', 'sqlite_stat9', 0, 'CREATE VIRTUAL TABLE sqlite_stat9 USING fts3(x)')", `the table "sqlite_stat9" is no part`},
		{"a name of several lines", writable + "INSERT INTO sqlite_schema VALUES (NULL, x'0A', 7, 7, 7)", "malformed database schema"},
		{"a table that lies where another one does", writable + "UPDATE sqlite_schema SET rootpage = (SELECT rootpage FROM sqlite_schema WHERE name = 'devices') WHERE name = 'wires'", ""},
		{"a move of no edit", movesChanged("UPDATE moves SET journal = 999"), "refers to one that is not there"},
		{"a photo of nothing", "INSERT INTO photos (device, hash, face, caption, at, format, size_bytes, width, height, turn) VALUES (1, 'x', '', '', '', 'png', 1, 1, 1, 0)", "refers to one that is not there"},
		{"a cell of another type", writable + "UPDATE sqlite_schema SET sql = replace(sql, ') STRICT', ')') WHERE name = 'wires'", `the table "wires"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, path := create(t)
			must(t, f.Do(small()))
			must(t, f.Close())
			raw, err := openConn(path, "mode=rw", 0)
			must(t, err)
			must(t, raw.script("PRAGMA foreign_keys=OFF; "+c.script))
			must(t, raw.close())
			was, err := os.ReadFile(path)
			must(t, err)
			for _, mode := range []Mode{ReadOnly, ReadWrite} {
				f, err := Open(path, mode)
				if err == nil {
					must(t, f.Close())
					t.Fatalf("mode %d: it was opened", mode)
				}
				if !errors.Is(err, ErrAltered) && !errors.Is(err, ErrDamaged) || !strings.Contains(err.Error(), c.says) || strings.Contains(err.Error(), "\n") {
					t.Errorf("mode %d: %v", mode, err)
				}
			}
			is, err := os.ReadFile(path)
			must(t, err)
			if !bytes.Equal(was, is) {
				t.Error("the file was changed")
			}
		})
	}
}

// movesChanged is a script that changes moves, past the trigger that holds them fast.
func movesChanged(script string) string {
	return "PRAGMA writable_schema=ON; CREATE TEMP TABLE held AS SELECT * FROM main.sqlite_schema WHERE name = 'moves_fixed'; DROP TRIGGER moves_fixed; " +
		script + "; INSERT INTO main.sqlite_schema SELECT * FROM held"
}

// What SQLite itself keeps for its planner is no alteration.
func TestAnalyzedFilesOpen(t *testing.T) {
	f, path := create(t)
	must(t, f.Do(small()))
	must(t, f.Close())
	raw, err := openConn(path, "mode=rw", 0)
	must(t, err)
	must(t, raw.script("ANALYZE; VACUUM"))
	must(t, raw.close())
	for _, mode := range []Mode{ReadOnly, ReadWrite} {
		f, err := Open(path, mode)
		must(t, err)
		must(t, f.Close())
	}
}
