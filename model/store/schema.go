package store

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
)

//go:embed schema/*.sql
var schemaFiles embed.FS

// migrations are the scripts that lead from one version of the schema to the
// next: the first makes an empty file a project of version 1. A script that was
// released is never edited.
var migrations = mustReadMigrations(schemaFiles)

func mustReadMigrations(files fs.FS) []string {
	scripts, err := readMigrations(files)
	if err != nil {
		panic(err) // embedded: a mistake in our own code
	}
	return scripts
}

// readMigrations returns the scripts schema/0001_*.sql, 0002_*.sql ... in order.
func readMigrations(files fs.FS) ([]string, error) {
	names, err := fs.Glob(files, "schema/*.sql")
	if err != nil {
		return nil, err
	}
	slices.Sort(names)
	scripts := make([]string, len(names))
	for i, name := range names {
		if want := fmt.Sprintf("%04d_", i+1); path.Base(name)[:5] != want {
			return nil, fmt.Errorf("%s: expected %s", name, want)
		}
		text, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, err
		}
		scripts[i] = string(text)
	}
	return scripts, nil
}

// migrate brings an open file to the newest version, each step and its version
// number in one transaction: shape and number cannot part. The version is read
// again inside, since another program may have been quicker.
func migrate(c *conn, path string, scripts []string) (err error) {
	// A rebuild of a table needs foreign keys off, and that has no effect inside
	// a transaction; foreign_key_check looks before each commit.
	if err := c.db.RegisterFunc("row_digest", rowDigest, true); err != nil {
		return err
	}
	if err := c.script("PRAGMA foreign_keys=OFF"); err != nil {
		return err
	}
	defer func() { err = errors.Join(err, c.script("PRAGMA foreign_keys=ON")) }()
	for {
		done, err := migrateOne(c, path, scripts)
		if done || err != nil {
			return err
		}
	}
}

func migrateOne(c *conn, path string, scripts []string) (done bool, err error) {
	if err := c.begin(); err != nil {
		return false, err
	}
	defer func() {
		if err != nil || done {
			err = errors.Join(err, c.rollback())
		}
	}()
	version, err := c.number("PRAGMA user_version")
	if err != nil || version >= int64(len(scripts)) {
		return err == nil, err
	}
	if err := c.script(scripts[version]); err != nil {
		return false, fmt.Errorf("change of shape to version %d: %w", version+1, err)
	}
	if err := c.script(fmt.Sprintf("PRAGMA user_version=%d; PRAGMA application_id=%d", version+1, ApplicationID)); err != nil {
		return false, err
	}
	broken, err := c.number("SELECT count(*) FROM pragma_foreign_key_check")
	if err != nil {
		return false, err
	}
	if broken > 0 {
		return false, damaged(path, fmt.Sprintf("%d rows refer to rows that are not there", broken), nil)
	}
	return false, c.commit()
}
