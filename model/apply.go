package model

import (
	"errors"
	"fmt"
	"slices"
)

// ErrOutdated says that an edit was made against a row that has changed since.
var ErrOutdated = errors.New("the row has changed since this edit was made; look at it again")

// RowError says which row of an edit could not be taken, and why. At is the
// place of the change in Edit.Changes.
type RowError struct {
	At     int
	Change Change
	Field  string // the column, where one is to blame
	Err    error
}

// Error names the row and the reason.
func (e *RowError) Error() string {
	row := e.Change.After
	if row == nil {
		row = e.Change.Before
	}
	text := fmt.Sprintf("%s %s", row.Table(), row.ID())
	if e.Field != "" {
		text += ", " + e.Field
	}
	return text + ": " + e.Err.Error()
}

// Unwrap returns the reason.
func (e *RowError) Unwrap() error { return e.Err }

// Apply makes every change of the edit, or none of them and returns a
// *RowError. References are checked when all changes are made, so their order
// within the edit does not matter.
func (m *Machine) Apply(edit Edit) error { return m.apply(edit, true) }

// ApplyStored is Apply for an edit that comes back from a journal: the
// conditions of a reading that returns were checked when it was taken, and
// what they name may have left the map since.
func (m *Machine) ApplyStored(edit Edit) error { return m.apply(edit, false) }

func (m *Machine) apply(edit Edit, checkConditions bool) error {
	gaps := make([]int, len(edit.Changes)) // where the row that a change took out had stood
	for at, change := range edit.Changes {
		field, err := m.applyOne(change, &gaps[at], checkConditions)
		if err != nil {
			m.takeBack(edit.Changes[:at], gaps)
			return &RowError{At: at, Change: change, Field: field, Err: err}
		}
	}
	for at, change := range edit.Changes {
		field, err := m.checkReferences(change.After, change.Before == nil && checkConditions)
		if err == nil || m.superseded(change) {
			field, err = m.checkLeft(change.Before)
		}
		if err != nil {
			m.takeBack(edit.Changes, gaps)
			return &RowError{At: at, Change: change, Field: field, Err: err}
		}
	}
	if !checkConditions {
		return nil
	}
	if at, field, err := m.checkLooks(edit.Changes); err != nil {
		m.takeBack(edit.Changes, gaps)
		return &RowError{At: at, Change: edit.Changes[at], Field: field, Err: err}
	}
	return nil
}

// takeBack undoes changes in reverse order and puts every row back into the
// place where it stood: circuits that are up know rows by their places.
func (m *Machine) takeBack(changes []Change, gaps []int) {
	for at, change := range slices.Backward(changes) {
		switch {
		case change.Before == nil:
			m.drop(change.After)
		case change.After == nil:
			m.put(change.Before)
			m.moveLast(change.Table(), gaps[at])
		case change.Before.ID() != change.After.ID():
			m.drop(change.After)
			m.put(change.Before)
			m.moveLast(change.Table(), gaps[at])
		default:
			m.replace(change.After, change.Before)
		}
	}
}

// applyOne makes one change and notes the gap that a row left, or returns what
// speaks against it.
func (m *Machine) applyOne(change Change, gap *int, isNew bool) (field string, err error) {
	if change.Before != nil {
		now := m.Row(change.Table(), change.Before.ID())
		if now == nil || !sameRow(now, change.Before) {
			return "", ErrOutdated
		}
	}
	if change.After == nil {
		*gap = m.drop(change.Before)
		return "", nil
	}
	if complaints := newComplaints(change, isNew); len(complaints) > 0 {
		return complaints[0].Field, complaints[0]
	}
	renamed := change.Before == nil || change.Before.ID() != change.After.ID()
	if renamed && m.Row(change.Table(), change.After.ID()) != nil {
		return "", fmt.Errorf("there is a %s %s already", change.Table(), change.After.ID())
	}
	if err := checkReadingKept(change); err != nil {
		return "", err
	}
	if err := checkPictureKept(change); err != nil {
		return "", err
	}
	switch {
	case change.Before == nil:
		m.put(change.After)
	case renamed:
		*gap = m.drop(change.Before)
		m.put(change.After)
	default:
		m.replace(change.Before, change.After)
	}
	return "", nil
}

// Complaints are those about the row after the change that stand in its way, as
// far as they can be told without the machine.
func (c Change) Complaints() []FieldError { return newComplaints(c, true) }

// newComplaints are those about the row after a change that stand in its way. What
// shows another text than it holds may stay where it is, and may come back from a
// journal: it got in before that was refused.
func newComplaints(change Change, isNew bool) []FieldError {
	complaints := change.After.Validate()
	if len(complaints) == 0 {
		return nil
	}
	var before []FieldError
	if change.Before != nil {
		before = change.Before.Validate()
	}
	return slices.DeleteFunc(complaints, func(c FieldError) bool { return c.tolerated && (!isNew || slices.Contains(before, c)) })
}

// checkReadingKept holds the promise that a reading is never changed: only its
// Struck may differ.
func checkReadingKept(change Change) error {
	before, isReading := change.Before.(Reading)
	if !isReading {
		return nil
	}
	after := change.After.(Reading)
	after.Struck = before.Struck
	if !sameRow(before, after) {
		return errors.New("a reading is never changed; strike it out with a reason and take another")
	}
	return nil
}

// checkPictureKept holds that what a photo's row says of its bytes never
// changes.
func checkPictureKept(change Change) error {
	before, isPhoto := change.Before.(Photo)
	if isPhoto && !before.SamePicture(change.After.(Photo)) {
		return errors.New("the picture of a photo is never changed; add the other one")
	}
	return nil
}

// superseded says whether a later change of the same edit replaced or took away
// what this one made: then its references do not matter.
func (m *Machine) superseded(change Change) bool {
	if change.After == nil {
		return false
	}
	now := m.Row(change.Table(), change.After.ID())
	return now == nil || !sameRow(now, change.After)
}

// checkReferences looks, when all changes of an edit are made, whether what a
// row refers to is there.
func (m *Machine) checkReferences(row Row, checkConditions bool) (field string, err error) {
	switch row := row.(type) {
	case Terminal:
		return m.checkDevice(row.Device)
	case Event:
		return m.checkDevice(row.Device)
	case Symptom:
		if field, err := m.checkDevice(row.Device); err != nil {
			return field, err
		}
		if checkConditions && row.When != "" {
			if _, err := m.ParseConditions(row.When); err != nil {
				return "conditions", err
			}
		}
	case Place:
		return m.checkDevice(row.Device)
	case Photo:
		return m.checkDevice(row.Device)
	case Link:
		return m.checkEnds("from", row.FromRef(), "to", row.ToRef())
	case Wire:
		return m.checkEnds("from", row.From, "to", row.To)
	case Bond:
		return m.checkEnds("from", row.From, "to", row.To)
	case Reading:
		if field, err := m.checkEnds("red", row.Red, "black", row.Black); err != nil {
			return field, err
		}
		if checkConditions && len(row.Conditions) > 0 {
			if _, err := m.ParseConditions(row.Conditions.String()); err != nil {
				return "conditions", err
			}
		}
	}
	return "", nil
}

// checkLeft looks whether something still hangs on a row that is gone.
func (m *Machine) checkLeft(row Row) (field string, err error) {
	switch row := row.(type) {
	case Device:
		if _, kept := m.deviceAt[row.Ref]; kept {
			return "", nil
		}
		if len(m.marks[row.Ref]) > 0 {
			return "device", fmt.Errorf("%s still has terminals; delete them with it", row.Ref)
		}
		if m.hung[row.Ref] > 0 {
			return "device", fmt.Errorf("%s still has symptoms, a history, a place on the chart or photos; delete them with it", row.Ref)
		}
	case Terminal:
		ref := row.Ref()
		if _, kept := m.terminalAt[ref]; !kept && m.users[ref] > 0 {
			return "terminal", fmt.Errorf("wires, links, bonds or readings still end at %s; delete or move them first", ref)
		}
	}
	return "", nil
}

func (m *Machine) checkDevice(ref string) (field string, err error) {
	if _, found := m.deviceAt[ref]; !found {
		return "device", fmt.Errorf("no device %q; %s", ref, m.nearestDevices(ref))
	}
	return "", nil
}

func (m *Machine) checkEnds(fieldA string, a TerminalRef, fieldB string, b TerminalRef) (field string, err error) {
	if err := m.CheckTerminal(a); err != nil {
		return fieldA, err
	}
	if err := m.CheckTerminal(b); err != nil {
		return fieldB, err
	}
	return "", nil
}

// sameRow compares two rows of one table by what they say; times are equal
// when they name the same moment.
func sameRow(a, b Row) bool {
	switch a := a.(type) {
	case Symptom:
		b := b.(Symptom)
		same := a.At.Equal(b.At)
		a.At = b.At
		return same && a == b
	case Device:
		b := b.(Device)
		same := a.FailedAt.Equal(b.FailedAt)
		a.FailedAt = b.FailedAt
		return same && a == b
	case Reading:
		b := b.(Reading)
		return a.Number == b.Number && a.Struck == b.Struck && a.SamePair(b)
	case Event:
		b := b.(Event)
		same := a.At.Equal(b.At)
		a.At = b.At
		return same && a == b
	case Photo:
		b := b.(Photo)
		same := a.At.Equal(b.At)
		a.At = b.At
		return same && a == b
	default:
		return a == b
	}
}
