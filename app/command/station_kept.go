package command

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"bellout/faults/nextprobe"
	"bellout/model"
	"bellout/model/store"
	"bellout/model/wording"
)

// keptReading is a reading that was answered and is not in the file yet: the
// file was moved, the disk is full, or another program holds it.
type keptReading struct {
	reading model.Reading
	probe   nextprobe.Probe
	failed  bool   // it was tried, and may have come into a file that was moved meanwhile
	means   string // what it means, said also where it is not stored: it may be an alarm
}

// String says what it is, as in "G1:+ to E1:+: 12.5".
func (k keptReading) String() string {
	text := fmt.Sprintf("%s to %s: %s", k.reading.Red, k.reading.Black, k.reading.Value)
	if conditions := k.reading.Conditions.String(); conditions != "" {
		text += " (" + conditions + ")"
	}
	return text
}

// keep takes a reading in. One that was kept of the same probe makes room: it
// was asked for again.
func (s *station) keep(reading model.Reading, probe nextprobe.Probe) {
	k := keptReading{reading: reading, probe: probe}
	for at, older := range s.kept {
		if older.reading.Red == reading.Red && older.reading.Black == reading.Black &&
			older.reading.Mode.Volts() == reading.Mode.Volts() && older.reading.Conditions.String() == reading.Conditions.String() {
			k.failed = older.failed && older.reading.Value == reading.Value && older.reading.Mode == reading.Mode
			if k.failed {
				k.reading.At = older.reading.At
			}
			s.kept[at] = k
			return
		}
	}
	s.kept = append(s.kept, k)
}

// storeKept stores what is kept, in its order, and says what each means. What the
// file does not take now stays kept; what the map has no place for goes.
func (s *station) storeKept(ctx context.Context) error {
	for len(s.kept) > 0 {
		err := s.storeOne(ctx, &s.kept[0])
		if _, is := errors.AsType[*store.Error](err); is {
			s.kept[0].failed = true
			return answerError{fmt.Errorf(`not stored, and kept: %s (%w); the next answer tries again, {"save":"OTHER.bellout"} goes on with everything in a new file. %s`, s.keptWords(), err, s.kept[0].means)}
		}
		s.kept = s.kept[1:]
		if err != nil {
			return err
		}
	}
	return nil
}

func (s *station) keptWords() string {
	words := make([]string, len(s.kept))
	for i, kept := range s.kept {
		words[i] = kept.String()
	}
	return some(words, 8)
}

// storedBefore finds a reading that came into the file, which was moved before
// that could be said.
func (s *station) storedBefore(k keptReading) (model.Reading, bool) {
	if k.failed {
		for _, reading := range s.file.Machine().Readings {
			if reading.Key() == k.reading.Key() {
				return reading, true
			}
		}
	}
	return model.Reading{}, false
}

// lastTry stores what is kept before the sitting ends; where that fails, the one
// line that ends the command names it.
func (s *station) lastTry(ctx context.Context) error {
	for len(s.kept) > 0 {
		err := s.storeKept(ctx)
		if problem, is := errors.AsType[*store.Error](err); is {
			are := "is"
			if len(s.kept) > 1 {
				are = "are"
			}
			return fmt.Errorf("station: %s %s not stored: %s; %w", wording.Count(len(s.kept), "reading"), are, s.keptWords(), problem)
		}
		if errors.Is(err, errStop) {
			continue // it is stored, and not judged
		}
		if err != nil && badAnswer(err) {
			err = s.console.printJSON(stationError{oneLine(err.Error())})
		}
		if err != nil {
			return err
		}
	}
	return nil
}

type savedAnswer struct {
	Saved string `json:"saved"`
}

// save writes everything that is open to a new file, goes on in that, and stores
// there what is kept.
func (s *station) save(ctx context.Context, path string) error {
	if strings.TrimSpace(path) == "" {
		return answerError{errors.New(`write {"save":"OTHER.bellout"}, the name of a new file`)}
	}
	if err := s.file.Backup(ctx, path, nil); err != nil {
		return answerError{fmt.Errorf("not saved: %w", err)}
	}
	saved, err := store.Open(path, store.ReadWrite, store.WithClock(s.console.Now))
	if err != nil {
		return answerError{fmt.Errorf("saved, and cannot be opened: %w", err)}
	}
	older := s.file
	s.file = saved
	if err := older.Close(); err != nil {
		return err
	}
	s.reopen(ctx)
	if err := s.console.printJSON(savedAnswer{path}); err != nil {
		return err
	}
	return s.storeKept(ctx)
}

// goesOn turns what is wrong with the file into an answer that the sitting goes
// on after: what is kept would be lost with it.
func goesOn(err error) error {
	if problem, is := errors.AsType[*store.Error](err); is && !badAnswer(err) {
		return answerError{fmt.Errorf(`%w; {"save":"OTHER.bellout"} goes on in a new file`, problem)}
	}
	return err
}

// undoKept drops the reading that is kept last; false if none is.
func (s *station) undoKept() (bool, error) {
	if len(s.kept) == 0 {
		return false, nil
	}
	last := s.kept[len(s.kept)-1]
	s.kept = s.kept[:len(s.kept)-1]
	return true, s.console.printJSON(undoAnswer{Message: fmt.Sprintf("%s was not stored, and is dropped.", last)})
}
