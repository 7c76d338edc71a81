package bench

import (
	"fmt"

	"bellout/app/session"
	"bellout/faults/nextprobe"
	"bellout/model"
)

// stage is how far one touch of the meter is.
type stage int

const (
	noMachine stage = iota // no file, or nothing in it to touch
	thinking               // the next probe is being worked out
	proposed               // the next probe is known, and nobody took it
	nothing                // there is no probe worth making
	taken                  // the tips are noted where the probe wants them
	byHand                 // somebody put a tip elsewhere
)

// touch is the touch of the meter that the bench is about.
type touch struct {
	stage      stage
	tips       [2]model.TerminalRef
	mode       model.Mode
	conditions model.Conditions
	proposal   *nextprobe.Proposal
	failed     [2]bool // the field of a tip holds what is no terminal
}

// whole is true where both tips are somewhere.
func (t touch) whole() bool {
	return t.tips[session.Red] != model.TerminalRef{} && t.tips[session.Black] != model.TerminalRef{} && t.tips[session.Red] != t.tips[session.Black]
}

// key names a touch, so that two can be told apart.
func (t touch) key() string {
	return fmt.Sprintf("%s|%s|%s|%s", t.tips[session.Red], t.tips[session.Black], t.mode, t.conditions)
}

// noted is where the tips are noted to be, under which conditions.
func (b *Bench) noted() string {
	return touch{tips: [2]model.TerminalRef{b.desk.Tip(session.Red), b.desk.Tip(session.Black)}, conditions: b.desk.Conditions()}.key()
}

// touch works out what the bench is about. A tip or a condition that somebody
// set after the last reading goes before the proposal: who has a place in mind
// is not sent elsewhere.
func (b *Bench) touch() touch {
	view := b.desk.View()
	now := touch{
		tips:       [2]model.TerminalRef{b.desk.Tip(session.Red), b.desk.Tip(session.Black)},
		mode:       b.typedMode(),
		conditions: b.desk.Conditions(),
	}
	if view.Path == "" || len(view.Machine.Terminals) == 0 {
		now.stage = noMachine
		return now
	}
	if b.draft.failed != [2]string{} {
		for tip := range now.failed {
			if now.failed[tip] = b.draft.failed[tip] != ""; now.failed[tip] {
				now.tips[tip] = model.TerminalRef{}
			}
		}
		now.stage = byHand
		return now
	}
	if offered := b.desk.Offered(); offered != nil {
		now.stage, now.proposal = taken, offered
		return now
	}
	anywhere := now.tips != [2]model.TerminalRef{}
	if anywhere && b.noted() != b.draft.logged {
		now.stage = byHand
		return now
	}
	next := view.Next
	switch {
	case next == nil:
		now.stage = thinking
	case next.Done || next.Probe == nil:
		now.stage, now.proposal = nothing, next
	default:
		probe := next.Probe
		return touch{
			stage: proposed, proposal: next, mode: probe.Mode, conditions: probe.Conditions,
			tips: [2]model.TerminalRef{probe.Red, probe.Black},
		}
	}
	return now
}

// typedMode is the range that the typed value belongs to; while nothing that can be
// read is typed, that of the probe that was taken, else ohms, since they say most.
func (b *Bench) typedMode() model.Mode {
	if entry, err := b.desk.ReadEntry(b.draft.value); err == nil {
		return entry.Mode
	}
	if offered := b.desk.Offered(); offered != nil {
		return offered.Probe.Mode
	}
	return model.ModeOhms
}
