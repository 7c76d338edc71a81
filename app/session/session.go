// Package session is what goes with the open machine: the file, what
// is known about it, where the two tips are, what was done to the machine for
// this probe, and what was looked at last. The window shows it; no rule of the
// trade and no widget is in here.
//
// Two goroutines share the work. The owner (in the window, the main goroutine)
// calls the methods of Desk and reads View, a snapshot that never changes. The
// worker owns the file, what is known of its machine and the planner; it takes
// one job after another and hands new snapshots back through Options.Deliver.
// So no key press waits for a diagnosis, and nothing is shown as stored before
// it is.
package session

import (
	"context"
	"errors"
	"slices"
	"time"

	"bellout/faults"
	"bellout/faults/nextprobe"
	"bellout/model"
	"bellout/model/store"
)

// Options are what a desk needs from its surroundings.
type Options struct {
	// Deliver runs a function on the owner's goroutine, soon and in order. If it
	// is nil, there is no worker: every job is done before the call that asked
	// for it returns, which is what tests want.
	Deliver func(func())
	Clock   func() time.Time // time.Now if nil
	Stopped context.Context  // when it ends, all long work does; nil: never
}

// Session is one sitting over one file. Its methods are for its owner only.
type Session struct {
	options   Options
	view      View
	tips      [2]model.TerminalRef
	condition model.Conditions
	held      map[string]HeldState // of conditions that are not sure
	putBack   model.Conditions     // held before the probe that was taken
	live      []Live
	staying   *faults.Staying // see Staying
	stayingOf *model.Machine
	kept      store.BenchThings // what the file keeps of held, live and aside
	selection Selection
	aside     map[string]bool // findings that were set aside
	highlight Highlight
	outcome   *Outcome
	notice    Notice
	offered   *nextprobe.Proposal // the proposal that was taken, while the tips lie as it said
	listeners []*func(Changed)
	asked     map[string]*question
	tasks     []*Task
	queued    Waiting
	unstored  Unstored
	worker    *worker
}

// Changed says what is no longer as it was; several at once.
type Changed uint

// What may change.
const (
	File       Changed = 1 << iota // another file, or none
	Map                            // an edit of the map, its undo or its redo
	Readings                       // a reading came, or was struck out
	Findings                       // the report
	Proposal                       // what to probe next
	Tips                           // where the tips are
	Conditions                     // what was done to the machine
	Selected                       // what is looked at
	Answered                       // what the last reading means
	Noticed                        // something to say in the status line
	Tasks                          // long work began, went on or ended
	NotStored                      // what the file does not take
	Everything Changed = 1<<iota - 1
)

// Has is true where one of others is among what changed.
func (c Changed) Has(others Changed) bool { return c&others != 0 }

// New returns a desk with no file on it.
func New(options Options) *Session {
	if options.Clock == nil {
		options.Clock = time.Now
	}
	if options.Stopped == nil {
		options.Stopped = context.Background()
	}
	d := &Session{options: options, asked: map[string]*question{}}
	d.view = noFile()
	d.worker = newWorker(d)
	return d
}

// View returns what is known now. It is a snapshot: it does not change.
func (d *Session) View() View { return d.view }

// Machine returns the machine of the view, for short; never nil.
func (d *Session) Machine() *model.Machine { return d.view.Machine }

// Now is the desk's clock.
func (d *Session) Now() time.Time { return d.options.Clock() }

// Listen calls f after each change, on the owner's goroutine, until stop is
// called.
func (d *Session) Listen(f func(Changed)) (stop func()) {
	mine := &f
	d.listeners = append(d.listeners, mine)
	return func() {
		d.listeners = slices.DeleteFunc(d.listeners, func(other *func(Changed)) bool { return other == mine })
	}
}

func (d *Session) tell(what Changed) {
	if what.Has(Conditions | Answered | Selected) {
		d.keepBench()
	}
	for _, f := range slices.Clone(d.listeners) {
		(*f)(what)
	}
}

// deliver runs f on the owner's goroutine.
func (d *Session) deliver(f func()) {
	if d.options.Deliver == nil {
		f()
		return
	}
	d.options.Deliver(f)
}

// Close lets the file go, after what was asked for is done. The desk is not
// used afterwards.
func (d *Session) Close() error {
	for _, question := range d.asked {
		question.stop()
	}
	for _, task := range d.tasks {
		task.Stop()
	}
	return d.worker.close()
}

// Notice is one line for the person, and whether it is about something that
// went wrong.
type Notice struct {
	Text string
	Bad  bool
}

// Notice returns what was said last.
func (d *Session) Notice() Notice { return d.notice }

// Say puts a line where the person sees it.
func (d *Session) Say(text string) { d.note(Notice{Text: text}) }

// Complain puts what went wrong where the person sees it; nil says nothing. What
// the person stopped did not go wrong.
func (d *Session) Complain(err error) {
	if err != nil {
		d.note(Notice{Text: err.Error(), Bad: !errors.Is(err, context.Canceled)})
	}
}

func (d *Session) note(notice Notice) {
	d.notice = notice
	d.tell(Noticed)
}
