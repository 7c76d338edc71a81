package session

import "bellout/model"

// HeldState says how sure it is that a condition holds on the machine itself.
type HeldState int

// How sure a condition is.
const (
	// HeldSure: somebody said so, or stored a reading under it.
	HeldSure HeldState = iota
	// HeldToDo: a probe that was taken asks for it; nobody said that it is done.
	HeldToDo
	// HeldLast: it held when the file was open last; nobody said that it still does.
	HeldLast
)

// HeldState returns how sure one of Conditions is.
func (d *Session) HeldState(condition model.Condition) HeldState { return d.held[condition.String()] }

// ToPutBack returns what held before a probe was taken, and is to end for it;
// it is empty again once a reading is logged, or somebody says that it is so.
func (d *Session) ToPutBack() model.Conditions { return d.putBack }

// HeldIn returns the conditions that are in a state.
func (d *Session) HeldIn(state HeldState) model.Conditions {
	list := model.Conditions{}
	for _, condition := range d.condition {
		if d.HeldState(condition) == state {
			list = append(list, condition)
		}
	}
	return list
}

// ConfirmConditions says that the machine is as Conditions say.
func (d *Session) ConfirmConditions() {
	if len(d.held) == 0 && len(d.putBack) == 0 {
		return
	}
	d.held, d.putBack = nil, nil
	d.tell(Conditions)
}

func (d *Session) hold(condition model.Condition, state HeldState) {
	if state == HeldSure {
		delete(d.held, condition.String())
		return
	}
	if d.held == nil {
		d.held = map[string]HeldState{}
	}
	d.held[condition.String()] = state
}

// asks notes what taking a probe changes on the machine, before the conditions
// become those of the probe.
func (d *Session) asks(wanted model.Conditions) {
	before := append(append(model.Conditions{}, d.condition...), d.putBack...)
	for _, condition := range wanted {
		if !among(d.condition, condition) && !among(d.putBack, condition) {
			d.hold(condition, HeldToDo)
		}
	}
	d.putBack = nil
	for _, condition := range before {
		if !among(wanted, condition) && !among(d.putBack, condition) && d.HeldState(condition) != HeldToDo {
			d.putBack = append(d.putBack, condition)
		}
	}
	d.forgetHeld(wanted)
}

// forgetHeld drops the states of conditions that are gone.
func (d *Session) forgetHeld(list model.Conditions) {
	for name := range d.held {
		there := false
		for _, condition := range list {
			there = there || condition.String() == name
		}
		if !there {
			delete(d.held, name)
		}
	}
}

func among(list model.Conditions, condition model.Condition) bool {
	for _, other := range list {
		if other.String() == condition.String() {
			return true
		}
	}
	return false
}
