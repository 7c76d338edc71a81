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
	readings map[int64]int64     // the rank of each reading, by its number there
	touches  map[ends]timedTouch // what was touched last between two terminals, with the rank here
}

// ends are the terminals of a touch.
type ends struct{ a, b model.TerminalRef }

// timed are the journal rows since two copies parted, with their times.
type timed struct {
	parted int64
	begun  time.Time // the time of parted; where there is none, one before any
	rows   []int64
	times  []time.Time
}

func (f *File) timedSince(parted int64) (timed, error) {
	t := timed{parted: parted, begun: time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)}
	err := f.c.each("SELECT at FROM journal WHERE id = ?", 1, func(row *cells) error {
		t.begun = row.moment(0)
		return nil
	}, parted)
	if err != nil {
		return t, err
	}
	err = f.c.each("SELECT id, at FROM journal WHERE id > ? ORDER BY id", 2, func(row *cells) error {
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

// behind returns the rank of something that was made at a moment, behind a row.
func (t timed) behind(row int64, at time.Time) int64 {
	begun := t.begun
	if i, found := slices.BinarySearch(t.rows, row); found {
		begun = t.times[i]
	}
	return rankOf(row) + min(max(1, at.Sub(begun).Milliseconds()+1), rankStep-1)
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
func (f *File) order(theirs copyHistory, other *model.Machine, parted int64) (*order, error) {
	if err := f.touchesBeforeReadings(parted); err != nil {
		return nil, err
	}
	ours, err := f.timedSince(parted)
	if err != nil {
		return nil, err
	}
	o := &order{readings: map[int64]int64{}, touches: map[ends]timedTouch{}}
	// The ranks, there, of all that was done since, with its time, and whether it
	// was an edit.
	edited, times := map[int64]bool{}, map[int64]time.Time{}
	for _, r := range other.Readings {
		if r.Stored <= rankOf(parted) {
			o.readings[r.Number] = r.Stored
			continue
		}
		edited[r.Stored] = false
		if times[r.Stored] = theirs.timed.of(r.Stored); r.Stored%rankStep != 0 {
			times[r.Stored] = r.At // it came there by a merge, later than it was taken
		}
	}
	for _, touch := range theirs.touches {
		if touch.Stored > rankOf(parted) {
			edited[touch.Stored], times[touch.Stored] = true, touch.at
		}
	}
	known, err := f.knownTouches(parted)
	if err != nil {
		return nil, err
	}
	ranks := map[int64]int64{} // from the other's to ours
	current := rankOf(parted)
	for _, rank := range slices.Sorted(maps.Keys(edited)) {
		at, place := times[rank], int64(0)
		if edited[rank] {
			place = ours.until(at)
		} else {
			place = ours.before(at)
		}
		behind := max(current, ours.behind(place, at))
		if edited[rank] && behind == current {
			behind++ // in one millisecond: readings before it are older
		}
		current = behind
		ranks[rank] = current
	}
	for _, r := range other.Readings {
		if r.Stored <= rankOf(parted) {
			continue
		}
		o.readings[r.Number] = ranks[r.Stored]
		if r.At.IsZero() {
			o.readings[r.Number] = rankOf(parted) // older than anything, for all we know
		} else if r.At.Add(slack).Before(times[r.Stored]) {
			o.readings[r.Number] = min(ranks[r.Stored], ours.behind(ours.before(r.At), r.At))
		}
	}
	for _, touch := range theirs.touches {
		if known[made(touch)] || touch.Stored <= rankOf(parted) {
			continue
		}
		between := ends{touch.A, touch.B}
		touch.Stored = ranks[touch.Stored]
		if known, met := o.touches[between]; !met || touch.Stored > known.Stored {
			o.touches[between] = touch
		}
	}
	return o, nil
}

// touchMade tells touches apart over copies of a project: one that came by a
// merge has kept its time.
type touchMade struct {
	ends
	at int64 // nanoseconds
}

func made(t timedTouch) touchMade { return touchMade{ends{t.A, t.B}, t.at.UnixNano()} }

// knownTouches returns what this file knows to have been touched since two copies
// parted, its own and what earlier merges brought: it need not come again.
func (f *File) knownTouches(parted int64) (map[touchMade]bool, error) {
	list, err := timedTouches(f.c, rankOf(parted))
	known := make(map[touchMade]bool, len(list))
	for _, touch := range list {
		known[made(touch)] = true
	}
	return known, err
}

// touchesWith returns the touches of the other copy, and what the merge itself
// changed beyond them, for journal row id.
func (o *order) touchesWith(net []netChange, id int64) []timedTouch {
	list := slices.Collect(maps.Values(o.touches))
	for _, touch := range touchesOf(net, id, false) {
		if _, met := o.touches[ends{touch.A, touch.B}]; !met {
			list = append(list, timedTouch{PathChange: touch})
		}
	}
	return list
}
