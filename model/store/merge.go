package store

import (
	"maps"
	"path/filepath"
	"slices"
	"time"

	"bellout/model"
	"bellout/model/merge"
)

// Merge brings the work of another copy into this file, as one edit, by the
// decisions in result; Base gave parting, and merge.New(parting.Base,
// f.Machine(), other.Machine()) the plan. Pictures come with their photos. An
// edit of no changes does nothing. ErrChanged where either file was written to
// meanwhile: begin again with Base.
//
// Which readings hold: those of the other copy stand in the order in which they
// and its edits were made there, after all that was done here. One that was
// taken, by its time, before an edit here since the two parted stands before
// that edit instead. So readings of either may be stale that are not, none
// holds that does not.
func (f *File) Merge(other *File, parting *Parting, result *merge.Result) error {
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
		order, err := f.newOrder(other.Machine(), parting)
		if err != nil {
			return err
		}
		id := f.lastJournal + max(1, parting.otherLast-parting.lastRow)
		err = f.doAs(edit, doing{
			id: id, kind: kindEdit, stored: true,
			rank:    func(r model.Reading) int64 { return order.rank(result.Origin[r.Number]) },
			touches: order.touches,
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

// newOrder places what came one after another in the other copy behind what was
// done here. Up to parted, the last journal row of both, they count alike.
type newOrder struct {
	other  *model.Machine
	parted int64
	shift  int64 // from the other's ranks after parted to ours

	// edited holds when this file was edited since, rising, and earliest the
	// lowest rank of what was touched then or later.
	edited   []time.Time
	earliest []int64
}

func (f *File) newOrder(other *model.Machine, parting *Parting) (*newOrder, error) {
	o := &newOrder{other: other, parted: parting.lastRow, shift: f.lastJournal - parting.lastRow}
	if err := f.touchesBeforeReadings(parting.lastRow); err != nil {
		return nil, err
	}
	var rows []int64
	var times []time.Time
	err := f.c.each("SELECT id, at FROM journal WHERE id > ? ORDER BY id", 2, func(row *cells) error {
		rows, times = append(rows, row.integer(0)), append(times, row.moment(1))
		return nil
	}, parting.lastRow)
	if err != nil {
		return nil, err
	}
	lowest := map[int]int64{} // rank of what a row touched
	for _, touch := range f.machine.Touches {
		if touch.Stored > parting.lastRow {
			at, _ := slices.BinarySearch(rows, touch.Stored) // ranks of a merge end at its row
			if rank, met := lowest[at]; !met || touch.Stored < rank {
				lowest[at] = touch.Stored
			}
		}
	}
	places := slices.Collect(maps.Keys(lowest))
	slices.SortFunc(places, func(a, b int) int { return times[a].Compare(times[b]) })
	o.edited, o.earliest = make([]time.Time, len(places)), make([]int64, len(places))
	for i, at := range slices.Backward(places) {
		o.edited[i], o.earliest[i] = times[at], lowest[at]
		if i+1 < len(places) {
			o.earliest[i] = min(o.earliest[i], o.earliest[i+1])
		}
	}
	return o, nil
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
		var fresh []model.Touch
		for _, touch := range touches {
			known, err := f.c.number("SELECT count(*) FROM touches WHERE stored = ? AND a = ? AND b = ?", row, touch.A.String(), touch.B.String())
			if err != nil {
				return err
			}
			if known > 0 {
				continue
			}
			if err := insertTouch(f.c, row, touch); err != nil {
				return err
			}
			fresh = append(fresh, touch)
		}
		f.remember(fresh)
	}
	return nil
}

// rank places a reading of the other copy; 0 where it is not known there.
func (o *newOrder) rank(number int64) int64 {
	reading, known := o.other.Reading(number)
	if !known {
		return 0
	}
	if reading.Stored <= o.parted {
		return reading.Stored
	}
	rank := reading.Stored + o.shift
	from := 0 // a reading without a time may be older than any edit
	if !reading.At.IsZero() {
		from, _ = slices.BinarySearchFunc(o.edited, reading.At, time.Time.Compare)
	}
	if from < len(o.earliest) {
		rank = min(rank, o.earliest[from]-1)
	}
	return rank
}

// touches returns those of the other copy since the two parted, and of what the
// merge itself changed beyond them, in journal row id.
func (o *newOrder) touches(net []netChange, id int64) []model.Touch {
	type pair struct{ a, b model.TerminalRef }
	ranks := map[pair]int64{}
	var order []pair
	add := func(p pair, rank int64) {
		if now, met := ranks[p]; !met {
			order = append(order, p)
			ranks[p] = rank
		} else {
			ranks[p] = max(now, rank)
		}
	}
	for _, touch := range o.other.Touches {
		if touch.Stored > o.parted {
			add(pair{touch.A, touch.B}, touch.Stored+o.shift)
		}
	}
	for _, touch := range touchesOf(net, id, false) {
		if _, met := ranks[pair{touch.A, touch.B}]; !met {
			add(pair{touch.A, touch.B}, id)
		}
	}
	list := make([]model.Touch, len(order))
	for i, p := range order {
		list[i] = model.Touch{Stored: ranks[p], A: p.a, B: p.b}
	}
	return list
}
