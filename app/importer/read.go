package importer

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"bellout/app/sheets"
	"bellout/model/tables"
)

// WorkbookEnding is the ending of the workbooks that can be read.
const WorkbookEnding = "xlsx"

// otherBooks are endings of spreadsheets that are no workbook of this kind.
var otherBooks = []string{".xls", ".xlsm", ".xlsb", ".ods", ".numbers", ".fods"}

// Read reads a folder of CSV, or a workbook where from is one.
func Read(ctx context.Context, from string, progress func(tables.Progress)) (*tables.Content, error) {
	ending := strings.ToLower(filepath.Ext(from))
	about, err := os.Stat(from)
	switch {
	case err == nil && about.IsDir():
		return tables.ReadFolder(ctx, from, progress)
	case ending == "."+WorkbookEnding:
		return sheets.ReadWorkbook(ctx, from, progress)
	case slices.Contains(otherBooks, ending):
		return nil, fmt.Errorf("%s is no .xlsx; save the spreadsheet as .xlsx and import that", from)
	}
	return tables.ReadFolder(ctx, from, progress)
}
