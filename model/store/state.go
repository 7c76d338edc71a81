package store

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"bellout/model"
)

// NamedState is a moment of the machine that has a name, as in "as found" or
// "as repaired".
type NamedState struct {
	Name string
	At   time.Time // when it was named, by the clock of that day
	// Edited says whether anything was edited, undone or done again since.
	Edited bool
	move   int64
}

// ErrState says that there is no such state, or one of that name already.
var ErrState = errors.New("no such state")

// States returns the named states, in the order in which they were named; empty
// if there are none.
func (f *File) States() ([]NamedState, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if err := f.still(); err != nil {
		return nil, err
	}
	list, err := loadStates(f.c)
	return list, f.readError(err)
}

func loadStates(c *conn) ([]NamedState, error) {
	list := []NamedState{}
	err := c.each("SELECT state, at, move, move < (SELECT ifnull(max(id), 0) FROM moves) FROM states ORDER BY id", 4, func(row *cells) error {
		list = append(list, NamedState{Name: row.note(0), At: row.moment(1), move: row.integer(2), Edited: row.integer(3) != 0})
		return nil
	})
	return list, err
}

// NameState gives the machine as it is now a name, by which MachineAt finds it
// whatever is edited, undone or done again later. A name is no edit: undo does
// not take it away. ErrState if the name is taken.
func (f *File) NameState(name string) error {
	if err := model.CheckTitle(name); err != nil {
		return fmt.Errorf("name of a state: %w", err)
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.transact(func() error {
		if err := f.stateFree(name); err != nil {
			return err
		}
		move, err := lastMove(f.c)
		if err != nil {
			return err
		}
		return f.c.execOne("INSERT INTO states (state, at, move) VALUES (?, ?, ?)", name, model.FormatTime(f.options.clock().Round(0)), move)
	})
}

// RenameState gives a state another name. ErrState if there is none of the old
// name, or one of the new.
func (f *File) RenameState(name, to string) error {
	if err := model.CheckTitle(to); err != nil {
		return fmt.Errorf("name of a state: %w", err)
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.transact(func() error {
		if _, err := f.stateNamed(name); err != nil {
			return err
		}
		if err := f.stateFree(to, name); err != nil {
			return err
		}
		return f.c.execOne("UPDATE states SET state = ?2 WHERE state = ?1", name, to)
	})
}

// ForgetState takes a name away. What the machine was then stays in the
// journal, but is found by that name no more. ErrState if there is none.
func (f *File) ForgetState(name string) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.transact(func() error {
		if _, err := f.stateNamed(name); err != nil {
			return err
		}
		return f.c.execOne("DELETE FROM states WHERE state = ?", name)
	})
}

// MachineAt returns the machine as it was when the state was named, a machine of
// the caller's own. Its readings are those that had been stored then, as they
// stood then. ErrState if there is no such state. Cost: that of undoing in
// memory all that was done since.
func (f *File) MachineAt(state string) (*model.Machine, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if err := f.still(); err != nil {
		return nil, err
	}
	named, err := f.stateNamed(state)
	if err != nil {
		return nil, f.readError(err)
	}
	m, err := f.machineAfter(named.move)
	if err != nil {
		return nil, f.readError(err)
	}
	return m, nil
}

func (f *File) stateNamed(name string) (NamedState, error) {
	list, err := loadStates(f.c)
	if err != nil {
		return NamedState{}, err
	}
	var names []string
	for _, state := range list {
		if state.Name == name {
			return state, nil
		}
		names = append(names, fmt.Sprintf("%q", state.Name))
	}
	mend := "name the state first"
	if len(names) > 0 {
		mend = "the states are " + strings.Join(names, ", ")
	}
	return NamedState{}, &Error{Kind: ErrState, Path: f.path, Problem: fmt.Sprintf("there is no state %q", name), Mend: mend}
}

// stateFree says whether a name may be given. Names that differ in letter case or
// spaces only are one to people, who would compare with the wrong one; besides is
// the name of the state that is being renamed.
func (f *File) stateFree(name string, besides ...string) error {
	list, err := loadStates(f.c)
	if err != nil {
		return err
	}
	for _, state := range list {
		mend := "choose another name, or forget that one first"
		switch {
		case state.Name == name:
			return &Error{Kind: ErrState, Path: f.path, Problem: fmt.Sprintf("there is a state %q already", name), Mend: mend}
		case sameName(state.Name, name) && !slices.Contains(besides, state.Name):
			return &Error{Kind: ErrState, Path: f.path, Problem: fmt.Sprintf("there is a state %q already, and %q reads the same", state.Name, name), Mend: mend}
		}
	}
	return nil
}

func sameName(a, b string) bool {
	return strings.EqualFold(strings.Join(strings.Fields(a), " "), strings.Join(strings.Fields(b), " "))
}
