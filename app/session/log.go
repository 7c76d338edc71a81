package session

import (
	"fmt"
	"strings"
	"time"

	"bellout/faults"
	"bellout/faults/judge"
	"bellout/model"
	"bellout/model/store"
	"bellout/model/tables"
)

// Outcome is what one logged reading means.
type Outcome struct {
	Reading  model.Reading // with its number
	Outcome  judge.Outcome
	Message  string
	Findings []faults.Finding // those that it brought; never nil
	// Wire is the wire that it found; empty if none.
	Wire string
	// Leaves says what it leaves likeliest, if it was asked for in a search.
	Leaves string
}

// Outcome returns what the last reading of this sitting means; nil before the
// first one, and after it was taken back.
func (d *Session) Outcome() *Outcome { return d.outcome }

// Entry is what was typed beside the tips.
type Entry struct {
	Value model.Value
	Mode  model.Mode
	Drift model.Drift
	Note  string
}

// Log stores a reading of the tips where they are, under the conditions that
// hold, and then says what it means: Outcome changes when it is on the disk. An
// error says why nothing was stored.
func (d *Session) Log(entry Entry) error {
	if err := d.checkTips(); err != nil {
		return err
	}
	reading := model.Reading{
		At: d.Now().Truncate(time.Second), Red: d.tips[Red], Black: d.tips[Black], Mode: entry.Mode, Value: entry.Value,
		Drift: entry.Drift, Note: entry.Note, Conditions: d.condition,
	}
	if complaints := reading.ValidateNew(); len(complaints) > 0 {
		return complaints[0]
	}
	took := d.offered
	d.offered = nil
	d.NoteVolts(entry)
	d.ConfirmConditions()
	d.worker.do(func(w *worker) { w.keepReading(reading, took) })
	return nil
}

func (d *Session) checkTips() error {
	switch {
	case d.view.Path == "":
		return fmt.Errorf("no file is open; open or begin one first")
	case d.view.ReadOnly:
		return fmt.Errorf("the file is open for reading only (%s); save a copy and work in that", d.view.Why)
	case d.tips[Red] == noTip:
		return fmt.Errorf("the red tip is nowhere yet; write where it is, as in G1:+")
	case d.tips[Black] == noTip:
		return fmt.Errorf("the black tip is nowhere yet; write where it is, as in F1:1")
	}
	for _, ref := range d.tips {
		if err := d.view.Machine.CheckTerminal(ref); err != nil {
			return err
		}
	}
	if d.tips[Red] == d.tips[Black] {
		return fmt.Errorf("both tips are on %s; put one of them elsewhere", d.tips[Red])
	}
	return nil
}

// storeOne stores a reading, and works out what it means.
func (w *worker) storeOne(k keptReading) error {
	reading, took := k.reading, k.took
	var outcome Outcome
	err := w.attempt(func() error {
		for _, ref := range [2]model.TerminalRef{reading.Red, reading.Black} {
			if err := w.machine().CheckTerminal(ref); err != nil {
				return err
			}
		}
		before := w.known
		found := before.Discover(reading)
		number, is := w.storedBefore(k)
		if !is {
			var err error
			if number, err = w.file.Log(reading, found.Changes()...); err != nil {
				return err
			}
		}
		w.diagnose(found != nil)
		stored, _ := w.machine().Reading(number)
		meaning := w.known.Meaning(number, before, found)
		outcome = Outcome{Reading: stored, Outcome: meaning.Outcome, Message: meaning.Message, Findings: meaning.Findings}
		if found != nil {
			outcome.Wire = found.Wire.Name
		}
		return nil
	})
	if err != nil {
		return err
	}
	if took != nil && took.Probe != nil && took.Probe.Mode.Volts() == reading.Mode.Volts() { // volts met in a dead test are no answer to it
		w.planner.Took(*took.Probe)
		outcome.Leaves = w.planner.Leaves(*took)
	}
	d := w.desk
	w.publishWith(Answered, func() {
		d.outcome = &outcome
		d.numberLive(outcome.Reading)
	})
	return nil
}

// Strike strikes a reading out with a reason.
func (d *Session) Strike(number int64, reason string) {
	d.write(func(w *worker) (string, error) {
		if err := w.file.Strike(number, reason); err != nil {
			return "", err
		}
		w.diagnose(false)
		w.publish()
		d.deliver(func() {
			d.outdated(number)
			d.tellLive()
		})
		return fmt.Sprintf("Reading %d is struck out: %s.", number, reason), nil
	})
}

// outdated forgets the outcome of a reading that does not stand any more.
func (d *Session) outdated(number int64) {
	if d.outcome != nil && d.outcome.Reading.Number == number {
		d.outcome = nil
		d.tell(Answered)
	}
}

// write has the worker change the file, tries again when another program wrote
// meanwhile, and says what came of it.
func (d *Session) write(change func(*worker) (said string, err error)) {
	if d.view.ReadOnly {
		d.Complain(fmt.Errorf("the file is open for reading only (%s); save a copy and work in that", d.view.Why))
		return
	}
	d.worker.do(func(w *worker) {
		if w.file == nil {
			w.tellOwner(Notice{Text: "no file is open; open or begin one first", Bad: true})
			return
		}
		var said string
		err := w.attempt(func() (err error) {
			said, err = change(w)
			return err
		})
		switch {
		case err != nil:
			w.complain("", err)
		case said != "":
			w.taken()
			w.publish()
			w.tellOwner(Notice{Text: said})
		}
	})
}

// history is what the store's undo and redo share.
type history func(*store.File) (what string, err error)

func (d *Session) turn(back history, said string) {
	d.write(func(w *worker) (string, error) {
		what, err := back(w.file)
		if err != nil {
			return "", err
		}
		w.diagnose(true)
		w.publish()
		d.deliver(func() {
			if d.outcome != nil {
				if r, there := d.view.Machine.Reading(d.outcome.Reading.Number); !there || !r.Stands() {
					d.outdated(d.outcome.Reading.Number)
				}
			}
			d.tellLive()
		})
		return said + ": " + what, nil
	})
}

// undoAsks is from how many rows on taking back asks for a second press: an
// import is gone in one stroke else.
const undoAsks = 50

// Undo takes back the last edit or reading; a reading stays, struck out. An
// import, and what else changed many rows, is taken back only when it is asked
// for twice, one after the other.
func (d *Session) Undo() {
	if !d.view.ReadOnly && (d.view.UndoRows >= undoAsks || strings.HasPrefix(d.view.Undo, tables.ImportOf)) {
		rows := ""
		if d.view.UndoRows > 0 {
			rows = fmt.Sprintf(", %d rows", d.view.UndoRows)
		}
		asks := fmt.Sprintf("That takes back %s%s. Once more does it; Ctrl Y brings it back.", d.view.Undo, rows)
		if d.notice.Text != asks {
			d.Say(asks)
			return
		}
	}
	d.turn((*store.File).Undo, "Taken back")
}

// Redo makes again what Undo took back last.
func (d *Session) Redo() { d.turn((*store.File).Redo, "Made again") }
