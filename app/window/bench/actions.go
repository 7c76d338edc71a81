package bench

import (
	"fyne.io/fyne/v2"

	"bellout/app/session"
	"bellout/app/window/keys"
	"bellout/faults/judge"
)

const group = "Bench"

// served is the bench that the keys of one map lead to: a bench that is made
// anew over the same keys takes the place of the one before.
type served struct {
	keys  *keys.Map
	bench *Bench
}

func (b *Bench) addActions() {
	if before, ok := b.room.Memory[servedMemory].(*served); ok && before.keys == b.room.Keys {
		before.bench = b
		return
	}
	s := &served{b.room.Keys, b}
	b.room.Memory[servedMemory] = s
	if b.room.Keys == nil {
		return
	}
	ready := func() bool { return s.bench.panel != nil }
	free := func() bool { return ready() && s.bench.blocked() == "" }
	for _, action := range []keys.Action{
		{Name: "Take the proposed probe", Key: keys.Plain(fyne.KeyF6), Do: func() { s.bench.take() }, Able: func() bool {
			next := s.bench.desk.View().Next
			return free() && next != nil && next.Probe != nil
		}},
		{Name: "Skip it: can't be reached", Key: keys.Plain(fyne.KeyF7), Do: func() { s.bench.skip() }, Able: free},
		{Name: "Swap red and black", Key: keys.Plain(fyne.KeyF8), Do: func() { s.bench.swap() }, Able: free},
		{Name: "Conditions: what is unplugged, lifted, open", Key: keys.Plain(fyne.KeyF9), Do: func() { s.bench.panel.openConditions() }, Able: free},
		{Name: "Red tip", Key: keys.Ctrl(fyne.KeyL), Do: func() { s.bench.toLead(session.Red) }, Able: free},
		{Name: "Black tip", Key: keys.Ctrl(fyne.KeyK), Do: func() { s.bench.toLead(session.Black) }, Able: free},
		{Name: "What the meter shows", Key: keys.Ctrl(fyne.KeyM), Do: func() { s.bench.focus(s.bench.panel.value) }, Able: free},
		{Name: "Another goal for the next probe", Key: keys.Ctrl(fyne.KeyG), Do: func() { s.bench.nextGoal() }, Able: free},
		{Name: "To the finding of the last reading", Key: keys.Ctrl(fyne.KeyJ), Do: func() { s.bench.toFinding() }, Able: func() bool {
			_, there := s.bench.findingOfOutcome()
			return there || s.bench.contradicted()
		}},
		{Name: "Strike a reading out", Key: keys.Ctrl(fyne.KeyR), Do: func() { s.bench.panel.openStrike() }, Able: free},
		{Name: "Yes, still unplugged", Key: keys.Plain(fyne.KeyF10), Do: func() { s.bench.keepLast() }, Able: free},
		{Name: "Clear what was changed last time", Key: keys.Plain(fyne.KeyF11), Do: func() { s.bench.clearLast() }, Able: func() bool {
			return free() && len(s.bench.desk.HeldIn(session.HeldLast)) > 0
		}},
		{Name: "Confirm it is dead (press twice)", Key: keys.Plain(fyne.KeyF12), Do: func() { s.bench.provenDead() }, Able: func() bool {
			return free() && len(s.bench.desk.Live()) > 0
		}},
		{Name: "Clip leads: there are some, or none", Key: keys.CtrlShift(fyne.KeyL), Do: func() { s.bench.turnClips() }, Able: free},
		{Name: "Undo, even while typing (Ctrl Z does so while nothing is half typed)", Key: keys.Ctrl(fyne.KeyU), Do: func() { s.bench.takeBack() }, Able: func() bool {
			return free() && s.bench.desk.View().Undo != ""
		}},
	} {
		action.Group = group
		b.room.Keys.Add(action)
	}
}

// takeBack takes the last edit or reading back.
func (b *Bench) takeBack() {
	b.desk.Undo() // which says itself where the file cannot be written
	b.focus(b.panel.value)
}

// contradicted is true while the last reading contradicts the map.
func (b *Bench) contradicted() bool {
	outcome := b.desk.Outcome()
	return outcome != nil && outcome.Outcome == judge.Contradicts
}
