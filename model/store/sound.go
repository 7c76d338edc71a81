package store

import (
	"errors"
	"strings"
)

// sound has SQLite look at every page of the file: a damaged page that loading
// does not touch would come up in the middle of an edit. Measured with 100,000
// terminals, 18 MB: 50 to 90 ms beside the 550 ms of loading.
func sound(c *conn, path string) error {
	found := "ok"
	err := c.each("PRAGMA quick_check(1)", 1, func(row *cells) error {
		found = row.text(0)
		return nil
	})
	if err != nil {
		return err
	}
	if found != "ok" {
		return damaged(path, "a page of the file is damaged", errors.New(found[strings.LastIndexByte(found, '\n')+1:]))
	}
	return nil
}
