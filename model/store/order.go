package store

import (
	"maps"
	"slices"
	"sort"
	"time"

	"bellout/model"
)

// order places the readings and touches of another copy between the journal
// rows of this file.
type order struct {
	readings map[int64]int64 // the rank of each reading, by its number there
	touches  map[ends]int64  // the rank of what was touched last between two terminals
}

// ends are the terminals of a touch.
type ends struct{ a, b model.TerminalRef }

// timed are the journal rows since two copies parted, with their times.
type timed struct {
	parted int64
	rows   []int64
	times  []time.Time
}

func (f *File) timedSince(parted int64) (timed, error) {
	t := timed{parted: parted}
	err := f.c.each("SELECT id, at FROM journal WHERE id > ? ORDER BY id", 2, func(row *cells) error {
		t.rows, t.times = append(t.rows, row.integer(0)), append(t.times, row.moment(1))
		return nil
	}, parted)
	return t, err
}

// before returns the last row that was there before a moment, with all rows
// before it: the place of a reading.
func (t timed) before(at time.Time) int64 {
	latest := time.Time{}
	for i, row := range t.times {
		if row.After(latest) {
			latest = row
		}
		if !latest.Before(at) {
			return t.row(i)
		}
	}
	return t.row(len(t.rows))
}

// until returns the last row that was there at a moment, whatever is before it:
// the place of an edit.
func (t timed) until(at time.Time) int64 {
	for i, row := range slices.Backward(t.times) {
		if !row.After(at) {
			return t.row(i + 1)
		}
	}
	return t.row(0)
}

// row returns the i-th row, counted from 1; 0 is where the two parted.
func (t timed) row(i int) int64 {
	if i == 0 {
		return t.parted
	}
	return t.rows[i-1]
}

// of returns the time of the row that a rank belongs to.
func (t timed) of(rank int64) time.Time {
	at := sort.Search(len(t.rows), func(i int) bool { return rankOf(t.rows[i]) >= rank })
	if at == len(t.rows) {
		at--
	}
	if at < 0 {
		return time.Time{}
	}
	return t.times[at]
}

// slack is how much older than its storing a reading may be and still count as
// taken then: who writes it down does so at once. An import may bring readings
// of last week.
const slack = time.Minute

// order places what the other copy did since the two parted.
func (f *File) order(theirs course, other *model.Machine, parted int64) (*order, error) {
	if err := f.touchesBeforeReadings(parted); err != nil {
		return nil, err
	}
	ours, err := f.timedSince(parted)
	if err != nil {
		return nil, err
	}
	o := &order{readings: map[int64]int64{}, touches: map[ends]int64{}}
	edited := map[int64]bool{} // the ranks, there, of edits; false: of readings alone
	for _, r := range other.Readings {
		if r.Stored > rankOf(parted) && !edited[r.Stored] {
			edited[r.Stored] = false
		} else if r.Stored <= rankOf(parted) {
			o.readings[r.Number] = r.Stored
		}
	}
	for _, touch := range other.Touches {
		if touch.Stored > rankOf(parted) {
			edited[touch.Stored] = true
		}
	}
	ranks := map[int64]int64{} // from the other's to ours
	last, within := parted, int64(0)
	for _, rank := range slices.Sorted(maps.Keys(edited)) {
		at, place := theirs.timed.of(rank), int64(0)
		if edited[rank] {
			place = ours.until(at)
		} else {
			place = ours.before(at)
		}
		if place > last {
			last, within = place, 0
		}
		within = min(within+1, rankStep-1)
		ranks[rank] = rankOf(last) + within
	}
	for _, r := range other.Readings {
		if r.Stored <= rankOf(parted) {
			continue
		}
		o.readings[r.Number] = ranks[r.Stored]
		if r.At.IsZero() {
			o.readings[r.Number] = rankOf(parted) // older than anything, for all we know
		} else if r.At.Add(slack).Before(theirs.timed.of(r.Stored)) {
			o.readings[r.Number] = min(ranks[r.Stored], rankOf(ours.before(r.At)))
		}
	}
	for _, touch := range other.Touches {
		if touch.Stored > rankOf(parted) {
			between := ends{touch.A, touch.B}
			o.touches[between] = max(o.touches[between], ranks[touch.Stored])
		}
	}
	return o, nil
}

// touchesWith returns the touches of the other copy, and what the merge itself
// changed beyond them, for journal row id.
func (o *order) touchesWith(net []netChange, id int64) []model.Touch {
	var list []model.Touch
	for between, rank := range o.touches {
		list = append(list, model.Touch{Stored: rank, A: between.a, B: between.b})
	}
	for _, touch := range touchesOf(net, id, false) {
		if _, met := o.touches[ends{touch.A, touch.B}]; !met {
			list = append(list, touch)
		}
	}
	return list
}
