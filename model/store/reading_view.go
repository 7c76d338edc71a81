package store

import "bellout/model"

// readingView is the readings of a machine as they will be after changes that
// are being put together: one edit may take a reading in and strike it out.
type readingView struct {
	m       *model.Machine
	changed map[int64]*model.Reading // nil: it is gone
}

func viewOf(m *model.Machine) *readingView {
	return &readingView{m: m, changed: map[int64]*model.Reading{}}
}

func (v *readingView) get(number int64) (reading model.Reading, here bool) {
	if reading, changed := v.changed[number]; changed {
		if reading == nil {
			return model.Reading{}, false
		}
		return *reading, true
	}
	return v.m.Reading(number)
}

// follow takes note of a change.
func (v *readingView) follow(change model.Change) {
	if before, was := change.Before.(model.Reading); was {
		v.changed[before.Number] = nil
	}
	if after, is := change.After.(model.Reading); is {
		v.changed[after.Number] = &after
	}
}
