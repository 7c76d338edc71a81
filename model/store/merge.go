package store

import (
	"path/filepath"

	"bellout/model"
	"bellout/model/merge"
)

// Merge brings the work of another copy into this file, as one edit, by the
// decisions in result; Base gave parting, and merge.Make(ctx, parting.Base,
// f.Machine(), other.Machine()) the plan. Pictures come with their photos. An
// edit of no changes does nothing. ErrChanged where either file was written to
// meanwhile: Refresh the other, or open it again, and begin anew with Base.
//
// Which readings hold: readings and edits of both stand in the order of their
// times, those of each copy in the order in which they were stored there. Where
// two times are equal, or clocks went back, a reading of the other copy may be
// stale that is not; none holds that does not, as far as the clocks of both
// agree.
func (f *File) Merge(other *File, parting *MergeBase, result *merge.Result) error {
	if len(result.Edit.Changes) == 0 {
		return nil
	}
	theirs, err := other.course()
	if err != nil {
		return err
	}
	if count := len(theirs.moves); count == 0 || theirs.moves[count-1].uid != parting.theirs {
		return &Error{Kind: ErrChanged, Path: other.path, Problem: "another program changed the file meanwhile", Mend: "look at both machines again and repeat"}
	}
	edit := result.Edit
	edit.What = "merged with " + filepath.Base(other.path)
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.transact(func() error {
		if err := f.bringPictures(other, edit); err != nil {
			return err
		}
		order, err := f.order(theirs, other.Machine(), parting.lastRow)
		if err != nil {
			return err
		}
		id := f.lastJournal + 1
		err = f.doAs(edit, doing{
			id: id, kind: kindEdit, stored: true,
			rank:    func(r model.Reading) int64 { return order.readings[result.Origin[r.Number]] },
			touches: order.touchesWith,
		})
		if err != nil {
			return err
		}
		return f.c.execOne("INSERT INTO merges (journal, theirs) VALUES (?, ?)", id, parting.theirs)
	})
}

// bringPictures copies the bytes of photos that this file does not have.
func (f *File) bringPictures(other *File, edit model.Edit) error {
	for _, change := range edit.Changes {
		photo, isPhoto := change.After.(model.Photo)
		if !isPhoto || change.Before != nil {
			continue
		}
		held, err := f.c.number("SELECT count(*) FROM pictures WHERE hash = ?", photo.Hash)
		if err != nil {
			return err
		}
		if held > 0 {
			continue
		}
		content, err := other.PictureBytes(photo.Hash)
		if err != nil {
			return err
		}
		if err := insertPicture(f.c, content); err != nil {
			return err
		}
	}
	return nil
}

// touchesBeforeReadings keeps what edits since a row touched while this file had
// no readings yet, and no need to know.
func (f *File) touchesBeforeReadings(since int64) error {
	var rows []int64
	err := f.c.each("SELECT id FROM journal WHERE id > ? AND (?2 = 0 OR id <= ?2) AND state = 'done' AND id NOT IN (SELECT journal FROM merges)", 1,
		func(row *cells) error {
			rows = append(rows, row.integer(0))
			return nil
		}, since, f.firstStored)
	if err != nil {
		return err
	}
	for _, row := range rows {
		edit, kind, err := f.loadEdit(row)
		if err != nil {
			return err
		}
		touches := touchesOf(netChanges(edit.Changes), row, kind == kindReading)
		var fresh []model.PathChange
		for _, touch := range touches {
			known, err := f.c.number("SELECT count(*) FROM touches WHERE stored = ? AND a = ? AND b = ?", row, touch.A.String(), touch.B.String())
			if err != nil {
				return err
			}
			if known > 0 {
				continue
			}
			fresh = append(fresh, touch)
		}
		if err := f.keepTouches(row, untimed(fresh)); err != nil {
			return err
		}
	}
	return nil
}
