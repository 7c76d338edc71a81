package session

import (
	"context"
	"errors"

	"bellout/app/importer"
	"bellout/model/tables"
)

// Import brings a folder of CSV files, or a workbook, into the file, all of it or
// nothing.
func (d *Session) Import(path string, done func(error)) {
	if err := d.checkWritable(); err != nil {
		d.finish(done, err)
		return
	}
	d.Task("Reading tables", func(ctx context.Context, progress func(done, of int)) error {
		content, err := importer.Read(ctx, path, func(at tables.Progress) { progress(int(at.Bytes), int(at.Total)) })
		if err != nil {
			return err
		}
		finished := make(chan error, 1)
		d.worker.do(func(w *worker) {
			if w.file == nil {
				finished <- errors.New("no file is open; open or begin one first")
				return
			}
			edit, err := importer.Take(ctx, w.file, content)
			if err == nil && len(edit.Changes) > 0 {
				w.diagnose(true)
			}
			finished <- err
		})
		return <-finished
	}, done)
}
