package session

import "bellout/faults"

// Staying tells what of the machine is live with the mains plug out. It is worked
// out once for each state of the map.
func (d *Session) Staying() *faults.Staying {
	if d.staying == nil || d.stayingOf != d.view.Machine {
		d.staying, d.stayingOf = faults.StayingIn(d.view.Machine), d.view.Machine
	}
	return d.staying
}
