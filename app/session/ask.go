package session

import (
	"context"
	"errors"
	"slices"
	"sync/atomic"
	"time"
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
func Ask[T any](d *Session, key string, work func(ctx context.Context, view View) T, answer func(T)) {
	if older := d.asked[key]; older != nil {
		older.lost = true
		older.stop()
	}
	ctx, stop := context.WithCancel(d.options.Stopped)
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
	// Opening is true of a file that is being opened: there is nothing else to do
	// until it is there.
	Opening bool
	stop    context.CancelFunc
	done    atomic.Int64
	of      atomic.Int64
}

// Stop asks the work to end.
func (t *Task) Stop() { t.stop() }

func (t *Task) progress(done, of int) {
	t.done.Store(int64(done))
	t.of.Store(int64(of))
}

// Progress returns how much of how much is done; of is 0 while nobody knows.
func (t *Task) Progress() (done, of int) { return int(t.done.Load()), int(t.of.Load()) }

// Tasks lists the long work under way.
func (d *Session) Tasks() []*Task { return slices.Clone(d.tasks) }

// Task does long work beside everything else. work reports how far it is, and
// ends early when ctx does; done is told how it ended, on the owner's goroutine.
func (d *Session) Task(name string, work func(ctx context.Context, progress func(done, of int)) error, done func(error)) *Task {
	ctx, task := d.begin(name)
	d.tell(Tasks)
	run := func() { d.end(task, work(ctx, task.progress), done) }
	if d.options.Deliver == nil {
		run()
		return task
	}
	go run()
	return task
}

// begin lists long work that begins.
func (d *Session) begin(name string) (context.Context, *Task) {
	ctx, stop := context.WithCancel(d.options.Stopped)
	task := &Task{Name: name, stop: stop}
	d.tasks = append(d.tasks, task)
	return ctx, task
}

// end takes work off the list, from any goroutine, and tells done or, where
// there is none, the status line how it went.
func (d *Session) end(task *Task, err error, done func(error)) {
	if errors.Is(err, context.Canceled) {
		err = stopped{task.Name}
	}
	d.deliver(func() {
		task.stop()
		d.tasks = slices.DeleteFunc(d.tasks, func(other *Task) bool { return other == task })
		d.tell(Tasks)
		if done != nil {
			done(err)
			return
		}
		d.Complain(err)
	})
}

// After calls f on the owner's goroutine once wait is over, unless stop is called
// first. A desk without a worker is never waited for: there f is not called.
func (d *Session) After(wait time.Duration, f func()) (stop func()) {
	if d.options.Deliver == nil {
		return func() {}
	}
	wanted := true // owner's goroutine only
	timer := time.AfterFunc(wait, func() {
		d.deliver(func() {
			if wanted {
				f()
			}
		})
	})
	return func() {
		wanted = false
		timer.Stop()
	}
}
