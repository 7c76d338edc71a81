package session

import (
	"bellout/faults/nextprobe"
	"bellout/graphs"
	"bellout/model"
)

// Tip is one of the meter's two.
type Tip int

// The tips of the meter.
const (
	Red Tip = iota
	Black
)

var noTip model.TerminalRef

// Tip returns where a tip is; the zero reference if nowhere.
func (d *Session) Tip(tip Tip) model.TerminalRef { return d.tips[tip] }

// Placed is true where both tips are on terminals of the machine.
func (d *Session) Placed() bool {
	for _, ref := range d.tips {
		if _, there := d.view.Machine.TerminalIndex(ref); !there {
			return false
		}
	}
	return d.tips[Red] != d.tips[Black]
}

// PutTip puts a tip on a terminal; the zero reference takes it away.
func (d *Session) PutTip(tip Tip, ref model.TerminalRef) {
	if d.tips[tip] == ref {
		return
	}
	d.tips[tip], d.offered = ref, nil
	d.tell(Tips)
}

// SwapTips changes the tips over.
func (d *Session) SwapTips() {
	d.tips[Red], d.tips[Black] = d.tips[Black], d.tips[Red]
	d.offered = nil
	d.tell(Tips)
}

// Conditions returns what was done to the machine for the readings that come:
// it stays until it is taken back.
func (d *Session) Conditions() model.Conditions { return d.condition }

// SetConditions sets what was done to the machine: who sets it says that it is
// so.
func (d *Session) SetConditions(list model.Conditions) {
	for _, condition := range list {
		if !among(d.condition, condition) {
			d.hold(condition, HeldSure)
		}
	}
	d.change(list)
}

func (d *Session) change(list model.Conditions) {
	if d.condition.String() == list.String() {
		return
	}
	d.condition, d.offered = list, nil
	d.forgetHeld(list)
	d.tell(Conditions)
}

// AddConditions reads conditions as they are typed, "unplugged J4" or several
// with ; between them, and adds them.
func (d *Session) AddConditions(text string) error {
	more, err := d.view.Machine.ParseConditions(text)
	if err == nil {
		err = graphs.NoneOpensProtective(d.view.Machine, more)
	}
	if err != nil {
		return err
	}
	d.SetConditions(model.NewConditions(append(append(model.Conditions{}, d.condition...), more...)...))
	return nil
}

// RemoveCondition takes one condition back.
func (d *Session) RemoveCondition(condition model.Condition) {
	kept := model.Conditions{}
	for _, other := range d.condition {
		if other.String() != condition.String() {
			kept = append(kept, other)
		}
	}
	d.SetConditions(kept)
}

// Take puts the tips where the proposal says, with its conditions. It is false
// where there is no proposal.
func (d *Session) Take() bool {
	proposal := d.view.Next
	if proposal == nil || proposal.Probe == nil {
		return false
	}
	d.takeProbe(*proposal.Probe, proposal)
	return true
}

// TakeProbe puts the tips where a probe says, with its conditions.
func (d *Session) TakeProbe(probe nextprobe.Probe) { d.takeProbe(probe, nil) }

// TakeFor takes a probe that something else than the planner asks for: for a
// reason, with what to mind at it. The bench shows both, and reads the value in
// the probe's own mode.
func (d *Session) TakeFor(probe nextprobe.Probe, reason, caution string) {
	d.takeProbe(probe, &nextprobe.Proposal{Probe: &probe, Reason: reason, Why: reason + " " + caution, Caution: caution, Goal: nextprobe.Locate, Proves: []string{}})
}

func (d *Session) takeProbe(probe nextprobe.Probe, from *nextprobe.Proposal) {
	d.asks(probe.Conditions)
	d.tips[Red], d.tips[Black] = probe.Red, probe.Black
	d.condition, d.offered = probe.Conditions, from
	d.tell(Tips | Conditions)
}

// Offered is the proposal that was taken, while tips and conditions are still
// what it asked for; nil otherwise.
func (d *Session) Offered() *nextprobe.Proposal { return d.offered }

// Skip asks not to be sent to a proposed probe again in this sitting.
func (d *Session) Skip() {
	proposal := d.view.Next
	if proposal == nil || proposal.Probe == nil {
		return
	}
	probe := *proposal.Probe
	d.offered = nil
	d.worker.do(func(w *worker) {
		if w.planner == nil {
			return
		}
		if !w.passOver(probe) {
			w.planner.Skip(probe)
		}
		w.due = true
		next := w.view
		next.Next = nil
		w.hand(next, Proposal)
	})
}
