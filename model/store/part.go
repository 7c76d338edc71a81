package store

import (
	"errors"
	"fmt"
	"path/filepath"

	"bellout/model"
)

// MergeBase is where two copies of one project went two ways, as Base found it.
type MergeBase struct {
	// Base is the machine that both began with, or, where one took the other's
	// work in before, the newest machine that both have.
	Base *model.Machine

	theirs  string // the other's last move
	lastRow int64  // the highest journal row that both have from the start
}

// copyHistory is what tells of two copies where they parted.
type copyHistory struct {
	lineage string
	moves   []move // rising
	merged  []merged
	timed   timed // every journal row
	touches []timedTouch
}

// merged is a done merge: at moves[at] all was taken in that the other copy had
// after its move theirs.
type merged struct {
	at     int
	theirs string
}

func (f *File) course() (h copyHistory, err error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if err := f.still(); err != nil {
		return h, err
	}
	if err := f.c.script("BEGIN"); err != nil {
		return h, fileError(f.path, err)
	}
	defer func() { err = errors.Join(f.readError(err), f.c.rollback()) }()
	if err := f.unchanged(); err != nil {
		return h, err
	}
	err = f.c.each("SELECT lineage FROM project", 1, func(row *cells) error {
		h.lineage = row.note(0)
		return nil
	})
	if err != nil {
		return h, err
	}
	place := map[int64]int{} // of the last move through a journal row
	err = f.c.each("SELECT id, journal, way, uid FROM moves ORDER BY id", 4, func(row *cells) error {
		place[row.integer(1)] = len(h.moves)
		h.moves = append(h.moves, move{id: row.integer(0), journal: row.integer(1), way: word(row, 2, ways), uid: row.note(3)})
		return nil
	})
	if err != nil {
		return h, err
	}
	err = f.c.each("SELECT m.journal, m.theirs FROM merges m JOIN journal j ON j.id = m.journal WHERE j.state = 'done' ORDER BY m.journal", 2, func(row *cells) error {
		h.merged = append(h.merged, merged{at: place[row.integer(0)], theirs: row.note(1)})
		return nil
	})
	if err != nil {
		return h, err
	}
	if h.timed, err = f.timedSince(0); err != nil {
		return h, err
	}
	h.touches, err = timedTouches(f.c, 0)
	return h, err
}

// Base finds the machine that this file and another, a copy that went on by
// itself, both began with; see package merge for what comes next. ErrStrangers
// where they are no copies of one project, ErrChanged where another program
// wrote to one of them since it was looked at: Refresh it, or open it again, and
// repeat. Cost: that of undoing in memory
// what one of them did since.
func (f *File) Base(other *File) (*MergeBase, error) {
	mine, err := f.course()
	if err != nil {
		return nil, err
	}
	theirs, err := other.course()
	if err != nil {
		return nil, err
	}
	p := &MergeBase{}
	common := 0
	for common < len(mine.moves) && common < len(theirs.moves) && mine.moves[common].uid == theirs.moves[common].uid {
		p.lastRow = max(p.lastRow, mine.moves[common].journal)
		common++
	}
	if common == 0 && mine.lineage != theirs.lineage {
		return nil, &Error{Kind: ErrStrangers, Path: other.path, Problem: fmt.Sprintf("it did not begin as one file with %s", filepath.Base(f.path)),
			Mend: "merge copies of one project; for another machine, export it as CSV and import that"}
	}
	if count := len(theirs.moves); count > 0 {
		p.theirs = theirs.moves[count-1].uid
	}
	base, at := f, int64(0)
	if common > 0 {
		at = mine.moves[common-1].id
	}
	inOther, takenAt := newest(mine.merged, theirs.moves)
	inMine, givenAt := newest(theirs.merged, mine.moves)
	// Of two such points the one that has the other in it is the newer.
	switch {
	case inMine >= 0 && (inOther < 0 || inMine >= takenAt):
		base, at = f, mine.moves[inMine].id
	case inOther >= 0 && (inMine < 0 || inOther >= givenAt):
		base, at = other, theirs.moves[inOther].id
	case inMine >= 0 && inOther >= 0: // each took in the other's earlier work: both are as good
		base, at = f, mine.moves[inMine].id
		if theirs.moves[inOther].uid < mine.moves[inMine].uid {
			base, at = other, theirs.moves[inOther].id
		}
	}
	base.mu.Lock()
	defer base.mu.Unlock()
	if err := base.still(); err != nil {
		return nil, err
	}
	if p.Base, err = base.machineAfter(at); err != nil {
		return nil, base.readError(err)
	}
	return p, nil
}

// newest returns the place in moves, which are the other copy's, of the newest
// that was taken in, and the place of the move that took it in; -1: none was.
func newest(taken []merged, moves []move) (place, takenAt int) {
	places := make(map[string]int, len(moves))
	for i, move := range moves {
		places[move.uid] = i
	}
	place, takenAt = -1, -1
	for _, merge := range taken {
		if at, known := places[merge.theirs]; known && at > place {
			place, takenAt = at, merge.at
		}
	}
	return place, takenAt
}
