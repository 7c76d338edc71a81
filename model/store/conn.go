package store

import (
	"context"
	"database/sql/driver"
	"errors"
	"fmt"
	"io"
	"net/url"
	"path/filepath"
	"strings"
	"time"

	"github.com/mattn/go-sqlite3"
)

// conn is one connection to SQLite with its prepared statements. It goes below
// database/sql: one project is one connection, and a large machine loads in
// half the time without a conversion for each cell.
type conn struct {
	db       *sqlite3.SQLiteConn
	prepared map[string]*sqlite3.SQLiteStmt
	values   []driver.NamedValue
	fault    func() error         // nil; tests let an operation fail here
	rows     int                  // read while somebody wants to know
	told     func(rows int) error // who wants to know how many rows were read; nil: nobody
}

func (c *conn) operation() error {
	if c.fault == nil {
		return nil
	}
	return c.fault()
}

// openConn opens path; query is the query part of an SQLite URI, as in
// "mode=ro". wait is how long a lock of another program is waited for.
func openConn(path, query string, wait time.Duration) (*conn, error) {
	absolute, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	// mattn/go-sqlite3 reads its own options from the same query; those that
	// begin with _ are not seen by SQLite. File.mu stands for SQLite's own mutex.
	return connect(fmt.Sprintf("file:%s?%s&_busy_timeout=%d&_mutex=no", (&url.URL{Path: filepath.ToSlash(absolute)}).EscapedPath(), query, wait.Milliseconds()))
}

// memoryConn opens a database of its own in memory.
func memoryConn() (*conn, error) { return connect(":memory:?_mutex=no") }

func connect(dsn string) (*conn, error) {
	opened, err := (&sqlite3.SQLiteDriver{}).Open(dsn)
	if err != nil {
		return nil, err
	}
	c := &conn{db: opened.(*sqlite3.SQLiteConn), prepared: map[string]*sqlite3.SQLiteStmt{}}
	// The cache holds a large import, so that it does not go to disk twice.
	if err := c.script("PRAGMA foreign_keys=ON; PRAGMA cache_size=-65536; PRAGMA trusted_schema=OFF; PRAGMA cell_size_check=ON"); err != nil {
		return nil, errors.Join(err, c.close())
	}
	return c, nil
}

func (c *conn) close() error {
	var all []error
	for _, statement := range c.prepared {
		all = append(all, statement.Close())
	}
	c.prepared = nil
	return errors.Join(append(all, c.db.Close())...)
}

// script runs statements that take no values.
func (c *conn) script(statements string) error {
	if err := c.operation(); err != nil {
		return err
	}
	_, err := c.db.ExecContext(context.Background(), statements, nil)
	return err
}

// exec runs one statement, prepared the first time, and returns how many rows
// it changed.
func (c *conn) exec(statement string, values ...any) (int64, error) {
	prepared, err := c.prepare(statement)
	if err != nil {
		return 0, err
	}
	if err := c.operation(); err != nil {
		return 0, err
	}
	result, err := prepared.ExecContext(context.Background(), c.bind(values))
	if err != nil {
		return 0, err
	}
	return result.RowsAffected()
}

// execOne is exec for a statement that must change exactly one row.
func (c *conn) execOne(statement string, values ...any) error {
	count, err := c.exec(statement, values...)
	if err == nil && count != 1 {
		err = fmt.Errorf("%d rows instead of one: %s", count, statement)
	}
	return err
}

// insert is exec for one new row, and returns its id.
func (c *conn) insert(statement string, values ...any) (id int64, err error) {
	prepared, err := c.prepare(statement)
	if err != nil {
		return 0, err
	}
	if err := c.operation(); err != nil {
		return 0, err
	}
	result, err := prepared.ExecContext(context.Background(), c.bind(values))
	if err != nil {
		return 0, err
	}
	return result.LastInsertId()
}

func (c *conn) prepare(statement string) (*sqlite3.SQLiteStmt, error) {
	if prepared, found := c.prepared[statement]; found {
		return prepared, nil
	}
	opened, err := c.db.PrepareContext(context.Background(), statement)
	if err != nil {
		return nil, fmt.Errorf("%w in: %s", err, statement)
	}
	prepared := opened.(*sqlite3.SQLiteStmt)
	c.prepared[statement] = prepared
	return prepared, nil
}

func (c *conn) bind(values []any) []driver.NamedValue {
	c.values = c.values[:0]
	for i, value := range values {
		c.values = append(c.values, driver.NamedValue{Ordinal: i + 1, Value: value})
	}
	return c.values
}

// each calls row for every row of a query. The cells are valid during the call.
func (c *conn) each(query string, columns int, row func(*cells) error, values ...any) (err error) {
	prepared, err := c.prepare(query)
	if err != nil {
		return err
	}
	if err := c.operation(); err != nil {
		return err
	}
	rows, err := prepared.QueryContext(context.Background(), c.bind(values))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	read := &cells{values: make([]driver.Value, columns)}
	for {
		if err := rows.Next(read.values); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
		if err := row(read); err != nil {
			return err
		}
		if err := c.countRow(); err != nil {
			return err
		}
		if read.err != nil {
			return fmt.Errorf("%w in: %s", read.err, strings.Join(strings.Fields(query), " ")) // one line
		}
	}
}

// number runs a query that answers with one whole number; 0 if it has no row.
func (c *conn) number(query string, values ...any) (int64, error) {
	var answer int64
	err := c.each(query, 1, func(row *cells) error { answer = row.integer(0); return nil }, values...)
	return answer, err
}

// synchronous is how SQLite waits for the disk: for the folder too, when the
// journal is gone.
var synchronous = "EXTRA"

// keepInOneFile has every commit end in the file itself and on the disk. What is
// needed to roll back lies beside it while a transaction runs, and at no other
// time: a copy of the file alone is the whole. Measured on an SSD: 8 ms for a
// reading, where a write-ahead log took 1.
func (c *conn) keepInOneFile() error {
	mode := ""
	if err := c.each("PRAGMA journal_mode=DELETE", 1, func(row *cells) error { mode = row.text(0); return nil }); err != nil {
		return err
	}
	if mode != "delete" { // a program of before has it open, with its log
		return sqlite3.Error{Code: sqlite3.ErrBusy}
	}
	if err := c.script("PRAGMA synchronous=" + synchronous); err != nil {
		return err
	}
	return c.mayKeepJournal()
}

// mayKeepJournal sees, without a change, that a journal can be kept in the folder.
func (c *conn) mayKeepJournal() error {
	err := c.begin()
	if low, is := errors.AsType[sqlite3.Error](err); is && low.Code == sqlite3.ErrBusy {
		return nil // somebody writes there
	}
	var version int64
	if err == nil {
		version, err = c.number("PRAGMA user_version")
	}
	if err == nil {
		err = c.script(fmt.Sprintf("PRAGMA user_version=%d", version))
	}
	return errors.Join(err, c.rollback())
}

// whenFree does what another program's lock may hold up, and tries again for as
// long as a lock is waited for. SQLite's own waiting looks ten times a second at
// last: beside a program that writes one reading after another a reader would
// have no turn.
func (c *conn) whenFree(wait time.Duration, do func() error) (err error) {
	if err := c.script("PRAGMA busy_timeout=0"); err != nil {
		return err
	}
	defer func() { err = errors.Join(err, c.script(fmt.Sprintf("PRAGMA busy_timeout=%d", wait.Milliseconds()))) }()
	for deadline := time.Now().Add(wait); ; time.Sleep(time.Millisecond) {
		err := do()
		if low, is := errors.AsType[sqlite3.Error](err); !is || low.Code != sqlite3.ErrBusy || time.Now().After(deadline) {
			return err
		}
	}
}

// beginReading takes the right to read, and with it one state of the file.
func (c *conn) beginReading(wait time.Duration) error {
	return c.whenFree(wait, func() error {
		err := c.script("BEGIN")
		if err == nil {
			if _, err = c.number("SELECT count(*) FROM sqlite_schema"); err != nil {
				err = errors.Join(err, c.rollback())
			}
		}
		return err
	})
}

// begin takes the right to write at once, so that nothing can come between the
// look at the file and the change.
func (c *conn) begin() error { return c.script("BEGIN IMMEDIATE") }

func (c *conn) commit() error { return c.script("COMMIT") }

// rollback ends a transaction that failed. SQLite has ended it by itself after
// some errors, a full disk among them.
func (c *conn) rollback() error {
	if c.db.AutoCommit() {
		return nil
	}
	return c.script("ROLLBACK")
}

// cells reads one row. A cell of another kind than the schema says can only
// come from a damaged file; the first one is kept as err.
type cells struct {
	values []driver.Value
	err    error
}

var errCell = errors.New("a cell does not hold what its column must hold")

func (c *cells) text(at int) string {
	switch value := c.values[at].(type) {
	case string:
		return value
	case []byte:
		return string(value)
	}
	c.err = errCell
	return ""
}

func (c *cells) integer(at int) int64 {
	value, ok := c.values[at].(int64)
	if !ok {
		c.err = errCell
	}
	return value
}

func (c *cells) null(at int) bool { return c.values[at] == nil }
