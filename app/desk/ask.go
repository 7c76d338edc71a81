package desk

import (
	"context"
	"slices"
	"sync/atomic"
)

// question is one that is being answered.
type question struct {
	stop context.CancelFunc
	lost bool // a newer one took its place; owner's goroutine only
}

// Ask works an answer out from the view beside everything else, and brings it
// to the owner. A newer question of the same key takes the place of an older
// one, whose answer is then dropped. work must only read what it is given; ctx
// ends when nobody wants the answer any more.
func Ask[T any](d *Desk, key string, work func(ctx context.Context, view View) T, answer func(T)) {
	if older := d.asked[key]; older != nil {
		older.lost = true
		older.stop()
	}
	ctx, stop := context.WithCancel(context.Background())
	mine := &question{stop: stop}
	d.asked[key] = mine
	view := d.view
	run := func() {
		result := work(ctx, view)
		d.deliver(func() {
			stop()
			if mine.lost {
				return
			}
			delete(d.asked, key)
			answer(result)
		})
	}
	if d.options.Deliver == nil {
		run()
		return
	}
	go run()
}

// Task is long work that the person sees and can stop.
type Task struct {
	Name string
	stop context.CancelFunc
	done atomic.Int64
	of   atomic.Int64
}

// Stop asks the work to end.
func (t *Task) Stop() { t.stop() }

// Progress returns how much of how much is done; of is 0 while nobody knows.
func (t *Task) Progress() (done, of int) { return int(t.done.Load()), int(t.of.Load()) }

// Tasks lists the long work under way.
func (d *Desk) Tasks() []*Task { return slices.Clone(d.tasks) }

// Task does long work beside everything else. work reports how far it is, and
// ends early when ctx does; done is told how it ended, on the owner's goroutine.
func (d *Desk) Task(name string, work func(ctx context.Context, progress func(done, of int)) error, done func(error)) *Task {
	ctx, stop := context.WithCancel(context.Background())
	task := &Task{Name: name, stop: stop}
	d.tasks = append(d.tasks, task)
	d.tell(Tasks)
	progress := func(done, of int) {
		task.done.Store(int64(done))
		task.of.Store(int64(of))
	}
	run := func() {
		err := work(ctx, progress)
		d.deliver(func() {
			stop()
			d.tasks = slices.DeleteFunc(d.tasks, func(other *Task) bool { return other == task })
			d.tell(Tasks)
			if done != nil {
				done(err)
				return
			}
			d.Complain(err)
		})
	}
	if d.options.Deliver == nil {
		run()
		return task
	}
	go run()
	return task
}
