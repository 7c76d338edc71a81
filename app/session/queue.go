package session

import (
	"slices"

	"bellout/faults/nextprobe"
)

// queue are probes that wait for the bench, one after another: what must be
// verified again after a change. It belongs to the worker. What was answered since
// the queue was made is passed over; an answer that is taken back makes its probe
// wait again.
type queue struct {
	of      string // because of what
	list    []nextprobe.Proposal
	since   int64 // the last reading's number when the queue was made
	skipped []bool
}

// Queue offers probes to the bench, the first before anything that the planner
// would propose, then the next as each is answered. They take the place of those
// that waited before; none ends the queue. of says what they are for, as in
// "since as found".
func (d *Session) Queue(of string, list []nextprobe.Proposal) {
	list = slices.Clone(list)
	d.queued = Waiting{Of: of, Left: len(list), Total: len(list)}
	d.worker.do(func(w *worker) {
		w.queue = queue{of: of, list: list, skipped: make([]bool, len(list))}
		if w.file == nil {
			return
		}
		for _, r := range w.file.Machine().Readings {
			w.queue.since = max(w.queue.since, r.Number)
		}
		w.due = true
		next := w.view
		next.Next = nil
		w.hand(next, Proposal)
	})
}

// Waiting says how many probes of a queue are left.
type Waiting struct {
	Of    string
	Left  int
	Total int
}

// Waiting returns how many probes of the queue are still to be answered.
func (d *Session) Waiting() Waiting { return d.queued }

// queued returns the first probe that waits; nil if none does.
func (w *worker) queued() *nextprobe.Proposal {
	var first *nextprobe.Proposal
	left := 0
	for i := range w.queue.list {
		if w.queue.skipped[i] || w.answered(w.queue.list[i].Probe) {
			continue
		}
		if left++; first == nil {
			first = &w.queue.list[i]
		}
	}
	waiting := Waiting{Of: w.queue.of, Left: left, Total: len(w.queue.list)}
	w.desk.deliver(func() { w.desk.queued = waiting })
	return first
}

// answered says whether a reading that stands came since the queue was made. Volts
// and a dead test of the same two points are two questions.
func (w *worker) answered(probe *nextprobe.Probe) bool {
	for _, number := range w.known.Readings(probe.Red, probe.Black, probe.Conditions) {
		if r, there := w.machine().Reading(number); there && number > w.queue.since && r.Stands() && r.Mode.Volts() == probe.Mode.Volts() {
			return true
		}
	}
	return false
}

// passOver skips a probe of the queue; false where it is none of them.
func (w *worker) passOver(probe nextprobe.Probe) bool {
	for i := range w.queue.list {
		of := w.queue.list[i].Probe
		if !w.queue.skipped[i] && of.Red == probe.Red && of.Black == probe.Black && of.Mode.Volts() == probe.Mode.Volts() && of.Conditions.String() == probe.Conditions.String() {
			w.queue.skipped[i] = true
			return true
		}
	}
	return false
}
