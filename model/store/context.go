package store

import "context"

// WithContext has long work on the file end with ctx, with its error: opening,
// and writing an edit of thousands of rows, which is then as if it was never
// begun. What is short, such as storing one reading, is done whatever ctx says.
func WithContext(ctx context.Context) Option { return func(o *options) { o.ended = ctx.Err } }

// asksEvery is after how many rows that are written the context is looked at:
// some milliseconds of writing.
const asksEvery = 1024

// wrote counts a row, and says now and then whether anybody still wants them.
func (w *writer) wrote() error {
	if w.rows++; w.rows%asksEvery != 0 || w.ended == nil {
		return nil
	}
	return w.ended()
}
