package bench

import "bellout/app/session"

// ends returns the places of a touch's tips in the machine; false where one is
// nowhere.
func (b *Bench) ends(now touch) (red, black int, found bool) {
	m := b.desk.Machine()
	red, foundRed := m.TerminalIndex(now.tips[session.Red])
	black, foundBlack := m.TerminalIndex(now.tips[session.Black])
	return red, black, foundRed && foundBlack
}

// stayingWords name what is live at a touch with the mains plug out, and what takes
// it out; empty where nothing is.
func (b *Bench) stayingWords(now touch) string {
	red, black, found := b.ends(now)
	switch {
	case !found:
		return b.desk.Staying().Everything()
	case now.mode.Volts():
		return b.desk.Staying().LiveCaution(red, black)
	}
	return b.desk.Staying().Caution(red, black, now.conditions, false)
}

// toTakeOut says what is to be done, and is not noted as done, before a dead test
// that a battery or something else with power of its own could feed.
func (b *Bench) toTakeOut(now touch) []string {
	red, black, found := b.ends(now)
	if !found || now.mode.Volts() {
		return nil
	}
	with, _ := b.desk.Staying().TakeOut(red, black, now.conditions, false)
	var steps []string
	for _, condition := range with {
		if step, about := b.desk.Staying().Prepare(condition); about && !holds(now.conditions, condition) {
			steps = append(steps, step+"; then note it: "+condition.String()+" (F9)")
		}
	}
	return steps
}
