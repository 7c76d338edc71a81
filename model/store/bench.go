package store

// BenchKind is a kind of thing that the file keeps for the bench.
type BenchKind string

// The kinds.
const (
	BenchHeld  BenchKind = "held"  // what was done to the machine, as conditions say it
	BenchLive  BenchKind = "live"  // pairs that read volts and were not proven dead since
	BenchAside BenchKind = "aside" // findings that were set aside
)

var benchKinds = []BenchKind{BenchHeld, BenchLive, BenchAside}

// BenchThings are lines of the caller's own words, by kind; none is empty.
type BenchThings map[BenchKind][]string

// KeepBench keeps the things of one kind, in the place of those that were kept.
// It is no edit: there is no undo.
func (f *File) KeepBench(kind BenchKind, things []string) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.transact(func() error {
		if _, err := f.c.exec("DELETE FROM bench WHERE kind = ?", string(kind)); err != nil {
			return err
		}
		for place, what := range things {
			if err := f.c.execOne("INSERT INTO bench (kind, place, what) VALUES (?, ?, ?)", string(kind), int64(place), what); err != nil {
				return err
			}
		}
		return nil
	})
}

// Bench returns what is kept, in the order in which it was given; never nil.
func (f *File) Bench() (BenchThings, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if err := f.still(); err != nil {
		return nil, err
	}
	things := BenchThings{}
	err := f.c.each("SELECT kind, what FROM bench ORDER BY kind, place", 2, func(row *cells) error {
		kind := word(row, 0, benchKinds)
		things[kind] = append(things[kind], row.note(1))
		return nil
	})
	return things, f.readError(err)
}
