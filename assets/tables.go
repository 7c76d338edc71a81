package assets

import (
	"embed"
	"io/fs"
)

//go:embed tables/*.csv
var published embed.FS

// Tables returns the published tables that rules look into, as CSV with the
// source and its basis in each row: ampacity.csv and faa_table_11_3.csv.
func Tables() fs.FS {
	sub, err := fs.Sub(published, "tables")
	if err != nil {
		panic("assets: tables: " + err.Error())
	}
	return sub
}
