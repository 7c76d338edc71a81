package session

import (
	"errors"
	"maps"
	"sync"

	"bellout/faults"
	"bellout/faults/nextprobe"
	"bellout/model"
	"bellout/model/store"
)

// worker owns the file. Its fields below the queue are for its own goroutine.
type worker struct {
	desk *Session

	mutex   sync.Mutex
	wake    *sync.Cond
	jobs    []func(*worker)
	closing bool
	done    chan struct{}

	file     *store.File
	known    *faults.Diagnosis // of a snapshot of the file
	planner  *nextprobe.Planner
	options  nextprobe.Options
	bench    store.BenchThings // what the file kept when it was opened
	view     View              // the last one that was handed over
	handed   string            // its path
	edited   bool              // the map is not that of view any more
	fresh    bool              // what is known is not that of view any more
	due      bool              // Next is not worked out
	queue    queue             // probes that go before the planner's
	kept     []keptReading     // readings that the file did not take yet
	told     bool              // the owner knows that the file takes none
	closeErr error
}

func newWorker(d *Session) *worker {
	w := &worker{desk: d, view: d.view, done: make(chan struct{})}
	w.wake = sync.NewCond(&w.mutex)
	if d.options.Deliver != nil {
		go w.run()
	}
	return w
}

// do has the worker do a job after those that were asked for before.
func (w *worker) do(job func(*worker)) {
	if w.desk.options.Deliver == nil {
		job(w)
		w.publish()
		w.propose()
		return
	}
	w.mutex.Lock()
	w.jobs = append(w.jobs, job)
	w.mutex.Unlock()
	w.wake.Signal()
}

func (w *worker) run() {
	defer close(w.done)
	for {
		job, more := w.next()
		if !more {
			w.closeErr = errors.Join(w.leave(), w.letGo())
			return
		}
		if job == nil {
			w.propose()
			continue
		}
		job(w)
		w.publish()
	}
}

// next waits for a job. It returns nil where there is none and a proposal is
// due, so that what the person asked for always goes first.
func (w *worker) next() (job func(*worker), more bool) {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	for len(w.jobs) == 0 && !w.due && !w.closing {
		w.wake.Wait()
	}
	if len(w.jobs) > 0 {
		job, w.jobs = w.jobs[0], w.jobs[1:]
		return job, true
	}
	return nil, !w.closing
}

func (w *worker) close() error {
	if w.desk.options.Deliver == nil {
		return errors.Join(w.leave(), w.letGo())
	}
	w.mutex.Lock()
	w.closing = true
	w.mutex.Unlock()
	w.wake.Signal()
	<-w.done
	return w.closeErr
}

func (w *worker) letGo() error {
	if w.file == nil {
		return nil
	}
	file := w.file
	w.file, w.known, w.planner = nil, nil, nil
	return file.Close()
}

// begin takes a file that was just opened, with what is known of its machine.
func (w *worker) begin(file *store.File, known *faults.Diagnosis, readOnly bool, why string) error {
	err := w.letGo()
	var unread error
	if w.bench, unread = file.Bench(); unread != nil {
		w.bench = store.BenchThings{}
		w.tellOwner(Notice{Text: unread.Error(), Bad: true})
	}
	w.file = file
	w.known = known
	w.handed = "" // the same path may hold another file now
	w.queue = queue{}
	w.view = View{Path: file.Path(), ReadOnly: readOnly, Why: why, Goal: w.options.Goal}
	w.plan()
	w.edited, w.fresh = true, true
	return err
}

// plan begins a new planner: skips are forgotten.
func (w *worker) plan() {
	w.planner = nextprobe.New(w.known, w.options)
	w.due = true
}

// diagnose makes everything anew from the file, after an edit of the map or a
// reading, or after another program wrote.
func (w *worker) diagnose(edited bool) {
	w.known = faults.Diagnose(w.file.Snapshot())
	w.planner.Follow(w.known)
	w.edited = w.edited || edited
	w.fresh, w.due = true, true
}

// machine is what the file says, in a snapshot that does not change.
func (w *worker) machine() *model.Machine { return w.known.Analysis().Machine }

// publish hands a new view to the owner, if anything changed.
func (w *worker) publish() { w.publishWith(0, nil) }

// publishWith is publish that has the owner do something more with the new view,
// before it is told what changed: one change is shown once.
func (w *worker) publishWith(also Changed, do func()) {
	if w.file == nil || !w.fresh {
		return
	}
	what := Readings | Findings | Proposal
	next := w.view
	if w.edited {
		what |= Map
		next.Edition++
	}
	next.Machine, next.Report = w.machine(), w.known.Report()
	next.Against = next.Report.Blamed()
	next.stand(w.known)
	next.Undo, next.Redo = w.history()
	next.UndoRows = w.undoRows()
	next.Next = nil
	w.edited, w.fresh = false, false
	w.handWith(next, what|also, do)
}

// history says what undo and redo would do. A history that cannot be read is
// told by the undo itself, when it is asked for.
func (w *worker) history() (undo, redo string) {
	if what, there, err := w.file.UndoWhat(); err == nil && there {
		undo = what
	}
	if what, there, err := w.file.RedoWhat(); err == nil && there {
		redo = what
	}
	return undo, redo
}

// undoRows is how many rows undo would change; 0 where it is none of the last
// edits, behind many that were undone.
func (w *worker) undoRows() int {
	const looked = 50
	rows, err := w.file.Journal(looked)
	if err != nil {
		return 0
	}
	for _, row := range rows {
		if row.State == store.Done {
			return row.Changes
		}
	}
	return 0
}

// propose works out what to probe next, which may take a while.
func (w *worker) propose() {
	if !w.due || w.planner == nil {
		w.due = false
		return
	}
	w.due = false
	proposal := w.queued()
	if _, live := w.known.Report().Live(); live || proposal == nil { // nobody is sent to touch anything while it is live
		planned := w.planner.Next()
		proposal = &planned
	}
	next := w.view
	next.Next, next.Goal = proposal, w.options.Goal
	w.hand(next, Proposal)
}

func (w *worker) hand(next View, what Changed) { w.handWith(next, what, nil) }

func (w *worker) handWith(next View, what Changed, do func()) {
	if next.Path != w.handed {
		what = Everything
	}
	w.view, w.handed = next, next.Path
	d, bench := w.desk, w.bench
	d.deliver(func() {
		anew := next.Path != d.view.Path
		if anew {
			d.forget()
		}
		what |= d.followFinding(d.view.Report, next.Report)
		d.view = next
		switch {
		case anew:
			d.takeKept(bench)
		case what == Everything: // another file under the same path
			d.kept = maps.Clone(bench)
		}
		if do != nil {
			do()
		}
		d.tell(what)
	})
}

// tellOwner brings a notice to the owner.
func (w *worker) tellOwner(notice Notice) { w.desk.deliver(func() { w.desk.note(notice) }) }

// attempt repeats a write while another program writes too; the machine is then
// read anew before the next attempt.
func (w *worker) attempt(write func() error) error {
	const most = 5
	for try := 0; ; try++ {
		err := write()
		if !errors.Is(err, store.ErrChanged) {
			return err
		}
		w.diagnose(true)
		if try == most {
			return err
		}
	}
}
