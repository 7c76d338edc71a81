package desk

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
	// Unread is the line that the file keeps of it, where that cannot be read: what
	// is live, and where, nobody knows then.
	Unread string
}

// deadBelowVolts is what counts as about 0 V. Engineering judgement: well above
// the last digits of a meter that lies open, well below the lowest rail.
const deadBelowVolts = 0.5

// Live lists the pairs that read volts and did not read about 0 V since, in the
// order in which they were found. A reading that is struck out counts no longer.
func (d *Desk) Live() []Live {
	var list []Live
	for _, live := range d.live {
		if live.Reading > 0 {
			if r, there := d.view.Machine.Reading(live.Reading); there && !r.Stands() {
				continue
			}
		}
		list = append(list, live)
	}
	return list
}

// ProvenDead takes the word of a person that the machine was proven dead by
// other means: no pair is live any more.
func (d *Desk) ProvenDead() {
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
func (d *Desk) NoteVolts(entry Entry) {
	if !entry.Mode.Volts() || entry.Value.Kind != model.ShowsNumber {
		return
	}
	before := len(d.live)
	d.live = slices.DeleteFunc(slices.Clone(d.live), func(live Live) bool {
		return live.Unread == "" && live.Mode == entry.Mode && live.onTips(d.tips)
	})
	if entry.Live() {
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
func (d *Desk) numberLive(reading model.Reading) {
	for i, live := range d.live {
		if live.Reading == 0 && live.Mode == reading.Mode && live.Red == reading.Red && live.Black == reading.Black {
			d.live[i].Reading = reading.Number
		}
	}
}
