package store

// WithProgress has Open tell how far it is: done of so many rows are read. It is
// called every few thousand rows, on the goroutine of Open. An error that it
// returns ends the opening, and comes back inside that of Open; the file is left
// as it is.
func WithProgress(progress func(done, of int) error) Option {
	return func(o *options) { o.progress = progress }
}

// loadShown is loadState that tells how far it is.
func (f *File) loadShown() (state, error) {
	if f.options.progress == nil {
		if ended := f.options.ended; ended != nil {
			f.c.rows, f.c.told = 0, func(int) error { return ended() }
			defer func() { f.c.told = nil }()
		}
		return loadState(f.c)
	}
	of, err := f.c.number(`SELECT (SELECT count(*) FROM devices) + (SELECT count(*) FROM terminals) + (SELECT count(*) FROM links)
		+ (SELECT count(*) FROM wires) + (SELECT count(*) FROM readings)`)
	if err != nil {
		return state{}, err
	}
	f.c.rows, f.c.told = 0, func(rows int) error { return f.options.progress(min(rows, int(of)), int(of)) }
	defer func() { f.c.told = nil }()
	if err := f.c.told(0); err != nil {
		return state{}, err
	}
	return loadState(f.c)
}

// tellEvery is after how many rows Open tells how far it is: a few milliseconds
// of reading.
const tellEvery = 4096

// countRow counts a row that was read, and tells of it now and then.
func (c *conn) countRow() error {
	if c.told == nil {
		return nil
	}
	if c.rows++; c.rows%tellEvery != 0 {
		return nil
	}
	return c.told(c.rows)
}
