package command

import (
	"context"

	"bellout/faults"
	"bellout/model"
)

// until works something out, and waits for it no longer than ctx lasts: loops
// that look at ctx end by themselves, and what is still worked out then, for
// nobody, ends with the program. work changes nothing.
func until[T any](ctx context.Context, work func() (T, error)) (T, error) {
	type worked struct {
		answer T
		err    error
	}
	done := make(chan worked, 1)
	go func() {
		answer, err := work()
		done <- worked{answer, err}
	}()
	select {
	case w := <-done:
		return w.answer, w.err
	case <-ctx.Done():
		var none T
		return none, ctx.Err()
	}
}

// done is until for work that has no answer.
func done(ctx context.Context, work func() error) error {
	_, err := until(ctx, func() (struct{}, error) { return struct{}{}, work() })
	return err
}

// judged is what is known of a machine.
func judged(ctx context.Context, machine *model.Machine) (*faults.Diagnosis, error) {
	return until(ctx, func() (*faults.Diagnosis, error) {
		return faults.DiagnoseInSteps(ctx, machine, nil)
	})
}
