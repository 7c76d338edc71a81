package command

import (
	"context"
	"errors"
	"fmt"

	"bellout/model"
	"bellout/model/store"
)

// sat is a reading that this sitting stored, with the wire that it found.
type sat struct {
	number int64
	wire   *model.Wire // nil if it found none
}

// standing counts the readings of this sitting that nobody struck out.
func (s *station) standing() int {
	count := 0
	for _, taken := range s.sitting {
		if reading, found := s.file.Machine().Reading(taken.number); found && reading.Stands() {
			count++
		}
	}
	return count
}

type undoAnswer struct {
	Undone  int64  `json:"undone"` // the reading
	Message string `json:"message"`
}

// undo strikes the last reading of this sitting out, with the wire that it
// found. What other programs, or earlier sittings, did to the file stays.
func (s *station) undo(ctx context.Context) error {
	for attempt := 0; ; attempt++ {
		if err := s.refresh(ctx); err != nil {
			return err
		}
		last, err := s.lastSat()
		if err != nil {
			return err
		}
		what, err := s.takeBack(last)
		if errors.Is(err, store.ErrChanged) && attempt < maxAttempts {
			s.reopen(ctx)
			continue
		}
		if err != nil {
			return err
		}
		s.sitting = s.sitting[:len(s.sitting)-1]
		stopped := s.diagnose(ctx)
		return errors.Join(s.console.printJSON(undoAnswer{Undone: last.number, Message: fmt.Sprintf("Reading %d is struck out (%s).", last.number, what)}), stopped)
	}
}

// lastSat returns the last reading of this sitting; an answerError where there
// is none, or somebody else struck it out: then only another undo goes further
// back, so that none strikes out what nobody meant.
func (s *station) lastSat() (sat, error) {
	if len(s.sitting) == 0 {
		return sat{}, answerError{errors.New("this sitting has no reading that undo could strike out; answer the probe, or stop")}
	}
	last := s.sitting[len(s.sitting)-1]
	if reading, found := s.file.Machine().Reading(last.number); !found || !reading.Stands() {
		s.sitting = s.sitting[:len(s.sitting)-1]
		return sat{}, answerError{fmt.Errorf("another program took reading %d back already; another undo strikes out the one before", last.number)}
	}
	return last, nil
}

// takeBack takes a reading of this sitting back: by the history where storing it
// was the last edit, else by an edit of its own, which leaves what was done
// since. It says what it took back.
func (s *station) takeBack(last sat) (what string, err error) {
	is, err := s.isLastEdit(last.number)
	if err != nil {
		return "", err
	}
	if is {
		return s.file.Undo()
	}
	machine := s.file.Machine()
	before, _ := machine.Reading(last.number)
	after := before
	after.Struck = store.Undone
	edit := model.Edit{
		What:    fmt.Sprintf("reading %d struck out: %s", last.number, store.Undone),
		Changes: []model.Change{{Before: before, After: after}},
	}
	what = fmt.Sprintf("reading %s to %s: %s", before.Red, before.Black, before.Value)
	if last.wire != nil {
		if wire, found := machine.Wire(last.wire.Name); found && wire == *last.wire {
			edit.Changes = append(edit.Changes, model.Change{Before: wire})
		} else if found {
			what += fmt.Sprintf("; %s stays, because it was edited since", wire.Name)
		}
	}
	err = s.file.Do(edit)
	if refused, is := errors.AsType[*model.RowError](err); is { // a condition of another reading names the wire
		return "", answerError{fmt.Errorf("reading %d cannot be struck out with its wire: %w; strike it out where the wire is edited", last.number, refused)}
	}
	return what, err
}

// isLastEdit says whether the last edit of the file that is done is the one that
// stored a reading.
func (s *station) isLastEdit(number int64) (bool, error) {
	rows, err := s.file.Journal(0)
	if err != nil {
		return false, err
	}
	for _, row := range rows {
		if row.State != store.Done {
			continue
		}
		edit, err := s.file.JournalEdit(row.ID)
		if err != nil {
			return false, err
		}
		for _, change := range edit.Changes {
			if reading, is := change.After.(model.Reading); is && change.Before == nil && reading.Number == number {
				return true, nil
			}
		}
		return false, nil
	}
	return false, nil
}
