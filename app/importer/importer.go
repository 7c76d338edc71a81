// Package importer brings tables into a project file: all rows as one edit, or
// none, with the place of the first wrong one.
package importer

import (
	"context"
	"errors"

	"bellout/graphs"
	"bellout/model"
	"bellout/model/store"
	"bellout/model/tables"
)

// attempts is how often a write is tried again when others write too.
const attempts = 5

// Take brings the rows of content into the file as one edit, and returns it; an
// edit of no changes where there was nothing new. Errors name file, line and
// column.
func Take(ctx context.Context, file *store.File, content *tables.Content) (model.Edit, error) {
	for attempt := 0; ; attempt++ {
		edit, err := content.EditFor(file.Machine())
		if err != nil {
			return model.Edit{}, err
		}
		if err := ctx.Err(); err != nil {
			return model.Edit{}, err
		}
		if len(edit.Changes) == 0 {
			return edit, nil
		}
		if err := checkAmpacity(edit); err != nil {
			return model.Edit{}, content.Locate(err)
		}
		err = file.Do(edit)
		switch {
		case err == nil:
			return edit, nil
		case !errors.Is(err, store.ErrChanged) || attempt == attempts:
			return model.Edit{}, content.Locate(err)
		}
	}
}

// checkAmpacity refuses a table of currents that does not exist: with a misspelt
// one no fuse would be judged. The model cannot know the names.
func checkAmpacity(edit model.Edit) error {
	for at, change := range edit.Changes {
		setting, isSetting := change.After.(model.Setting)
		if !isSetting || setting.Key != model.KeyAmpacity {
			continue
		}
		if err := graphs.CheckAmpacity(setting.Value); err != nil {
			return &model.RowError{At: at, Change: change, Field: "value", Err: err}
		}
	}
	return nil
}
