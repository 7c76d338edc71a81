package session

import (
	"math"
	"slices"

	"bellout/model"
)

// Live is a pair of terminals on which volts were read: the machine is not dead,
// and no ohms may be measured there.
type Live struct {
	Red, Black model.TerminalRef
	Mode       model.Mode // volts-dc or volts-ac
	Volts      float64
	Reading    int64 // its number; 0 until it is stored
	Earlier    bool  // it comes from the file: read in an earlier sitting, or in another window
	// TakenBack: its reading was taken back or struck out. What it read was there.
	TakenBack bool
	// deadBy are the numbers of the readings of about 0 V that came since; 0 until one
	// is stored. It holds for this sitting.
	deadBy []int64
	// Unread is the line that the file keeps of it, where that cannot be read: what
	// is live, and where, nobody knows then.
	Unread string
}

// deadBelowVolts is what counts as about 0 V. Engineering judgement: well above
// the last digits of a meter that lies open, well below the lowest rail.
const deadBelowVolts = 0.5

// Live lists the pairs that read volts and did not read about 0 V since, in the
// order in which they were found. What was read was there: to take its reading back, or
// to strike it out, makes nothing dead; and a reading of about 0 V that is taken back
// makes its pair live again.
func (d *Session) Live() []Live {
	var list []Live
	for _, live := range d.live {
		if !slices.ContainsFunc(live.deadBy, func(number int64) bool { return number == 0 || !d.takenBack(number) }) {
			live.TakenBack = d.takenBack(live.Reading)
			list = append(list, live)
		}
	}
	return list
}

// tellLive tells of what is live after readings were taken back or came again.
func (d *Session) tellLive() {
	if len(d.live) > 0 {
		d.tell(Conditions)
	}
}

// takenBack says whether a reading was taken back or struck out.
func (d *Session) takenBack(number int64) bool {
	r, there := d.view.Machine.Reading(number)
	return there && !r.Stands()
}

// ProvenDead takes the word of a person that the machine was proven dead by
// other means: no pair is live any more.
func (d *Session) ProvenDead() {
	if len(d.live) > 0 {
		d.live = nil
		d.tell(Conditions)
	}
}

// Live says whether an entry shows that the circuit is live: volts that are more than
// about 0, or that still rise.
func (e Entry) Live() bool {
	return e.Mode.Volts() && e.Value.Kind == model.ShowsNumber && (math.Abs(e.Value.Number) >= deadBelowVolts || e.Drift == model.DriftRising)
}

// NoteVolts notes what an entry says about whether the tips are on something
// live, whether it can be stored or not. About 0 V in the same range on the same
// two clears them, unless the meter was still rising.
func (d *Session) NoteVolts(entry Entry) {
	if !entry.Mode.Volts() || entry.Value.Kind != model.ShowsNumber {
		return
	}
	before := len(d.live)
	same := func(live Live) bool { return live.Unread == "" && live.Mode == entry.Mode && live.onTips(d.tips) }
	d.live = slices.Clone(d.live)
	if !entry.Live() {
		for i := range d.live {
			if same(d.live[i]) {
				d.live[i].deadBy = append(slices.Clone(d.live[i].deadBy), 0)
			}
		}
	} else {
		d.live = slices.DeleteFunc(d.live, same)
		d.live = append(d.live, Live{Red: d.tips[Red], Black: d.tips[Black], Mode: entry.Mode, Volts: entry.Value.Number})
	}
	if before+len(d.live) > 0 {
		d.tell(Conditions)
	}
}

func (l Live) onTips(tips [2]model.TerminalRef) bool {
	return l.Red == tips[Red] && l.Black == tips[Black] || l.Red == tips[Black] && l.Black == tips[Red]
}

// numberLive gives what was noted for a reading its number.
func (d *Session) numberLive(reading model.Reading) {
	volts := Entry{Value: reading.Value, Mode: reading.Mode, Drift: reading.Drift}.Live()
	for i := range d.live {
		live := &d.live[i]
		if live.Mode != reading.Mode || !live.onTips([2]model.TerminalRef{reading.Red, reading.Black}) {
			continue
		}
		if at := slices.Index(live.deadBy, 0); !volts && at >= 0 {
			live.deadBy[at] = reading.Number
		}
		if volts && live.Reading == 0 {
			live.Reading = reading.Number
		}
	}
}
