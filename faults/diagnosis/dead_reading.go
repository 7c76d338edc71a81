package diagnosis

import (
	"fmt"
	"math"
	"slices"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// DeadReading is a reading of the de-energised machine: continuity, ohms or the
// diode range.
type DeadReading struct {
	l          *Live
	Reading    model.Reading
	red, black int
	through    []*graphs.Shares // where the meter's current goes on the machine as the map has it; none until asked for
	logs       map[string]float64
	moved      []int8 // by number of a hypothesis: whether it moves what the meter shows, 1 or -1; 0: not asked yet
}

// NewDeadReading returns a reading of the dead machine as evidence; false where
// its tips are not on the map.
func (l *Live) NewDeadReading(r model.Reading) (*DeadReading, bool) {
	red, knownRed := l.Circuit.Machine.TerminalIndex(r.Red)
	black, knownBlack := l.Circuit.Machine.TerminalIndex(r.Black)
	return &DeadReading{l: l, Reading: r, red: red, black: black, logs: map[string]float64{}}, !live(r.Mode) && knownRed && knownBlack
}

func (d *DeadReading) String() string {
	return fmt.Sprintf("%s %s-%s %s", d.Reading.Mode, d.Reading.Red, d.Reading.Black, d.Reading.Value)
}

// Log is the likelihood that the meter shows what it did. What does not move the
// meter by itself is left out, but where the reading surprises: of two wires side by
// side each alone does nothing.
func (d *DeadReading) Log(set []Hypothesis) float64 {
	if d.through == nil {
		d.through = d.l.throughDead(d.red, d.black, d.Reading.Conditions)
	}
	moving := set
	if sound, known := d.logs[""]; len(set) < 2 || known && sound > mostLog(d)-unlikely {
		if known && !slices.ContainsFunc(set, d.moves) {
			return sound
		}
		moving = slices.DeleteFunc(slices.Clone(set), func(h Hypothesis) bool { return !d.moves(h) })
	}
	key := keyOf(moving)
	log, known := d.logs[key]
	if !known {
		log = math.Log(d.l.judge.Meter.Likelihood(d.Reading, d.l.sight(d.red, d.black, d.Reading.Conditions, moving)))
		d.logs[key] = log
	}
	return log
}

// throughDead says where a meter's current goes in the dead machine: undecided
// elements open, and, where there are any, as metal.
func (l *Live) throughDead(red, black int, conditions model.Conditions) []*graphs.Shares {
	key := conditions.String()
	states, done := l.deads[key]
	if !done {
		changes := l.judge.Changes(conditions)
		for _, c := range []*graphs.Circuit{l.judge.Rest, l.judge.Least()} {
			if c != nil {
				states = append(states, graphs.NewDeadNetwork(c, changes).Run(graphs.Running{}))
			}
		}
		l.deads[key] = states
	}
	list := make([]*graphs.Shares, len(states))
	for i, state := range states {
		list[i] = state.Shares(red, black)
	}
	return list
}

// moves says whether a hypothesis moves what the meter shows.
func (d *DeadReading) moves(h Hypothesis) bool {
	if h.id >= len(d.moved) {
		d.moved = append(d.moved, make([]int8, h.id+1-len(d.moved))...)
	}
	if h.id == 0 || d.moved[h.id] == 0 {
		d.moved[h.id] = -1
		if slices.ContainsFunc(h.dead(d.l.Circuit), d.movedBy) {
			d.moved[h.id] = 1
		}
	}
	return d.moved[h.id] > 0
}

// movedBy bounds what a change makes of the resistance R at the meter. Where a part s
// of the current runs through what opens, R stays below R/(1-s)^2, as the rest of the
// flow could carry all of it (Thomson's principle); where a part u of the volts lies
// across what is joined, it stays above R(1-u)^2 (Dirichlet's, the same for volts).
func (d *DeadReading) movedBy(change graphs.ElementChange) bool {
	return slices.ContainsFunc(d.through, func(s *graphs.Shares) bool {
		ohms, a, b := s.Drop(d.red, d.black), change.A, change.B
		if change.Element >= 0 {
			e := d.l.Circuit.Elements[change.Element]
			a, b = e.A, e.B
			if ohms < floatingOhms && s.Element(change.Element) >= leastMoved {
				return true
			}
		}
		return !math.IsInf(change.Ohms, 1) && s.Drop(a, b) >= leastMoved*ohms
	})
}

// leastMoved is the part of the current, or of the volts, that nobody sees in what a
// meter shows.
const leastMoved = 0.002

// Propose adds what lies between the tips.
func (d *DeadReading) Propose(p *proposer) { p.between(d.red, d.black, nil, mostDepth) }

// sight is what a meter on two terminals of the dead machine faces under some
// hypotheses.
func (l *Live) sight(red, black int, conditions model.Conditions, set []Hypothesis) judge.Observed {
	var changes []graphs.ElementChange
	for _, h := range set {
		if !l.unplugged(h, conditions) {
			changes = append(changes, h.dead(l.Circuit)...)
		} else if h.Blown >= 0 {
			changes = append(changes, graphs.ElementChange{Element: h.Blown, Ohms: inf})
		}
	}
	return l.judge.SightIf(red, black, conditions, changes)
}

// unplugged says whether what a hypothesis blames inside a device is out of the way,
// the device being unplugged.
func (l *Live) unplugged(h Hypothesis, conditions model.Conditions) bool {
	at := h.At
	switch h.Kind {
	case LoadOpen, LoadShort:
	case PartShort, PartValue:
		at = l.Circuit.Elements[h.Element].A
	default:
		return false
	}
	device := l.Circuit.Machine.Terminals[at].Device
	return slices.ContainsFunc(conditions, func(c model.Condition) bool { return c.Kind == model.Unplugged && c.Device == device })
}

// dead is what the hypothesis changes in the de-energised network.
func (h Hypothesis) dead(c *graphs.Circuit) []graphs.ElementChange {
	open := math.Inf(1)
	var changes []graphs.ElementChange
	switch h.Kind {
	case ElementOpen, DiodeOpen:
		changes = append(changes, graphs.ElementChange{Element: h.Element, Ohms: open})
	case ElementHigh:
		changes = append(changes, graphs.ElementChange{Element: h.Element, Ohms: c.Elements[h.Element].Ohms + h.Size})
	case ElementClose:
		changes = append(changes, graphs.ElementChange{Element: h.Element})
	case DiodeShort:
		changes = append(changes, graphs.ElementChange{Element: h.Element, Ohms: shortedDiodeOhms})
	case PartShort, PartValue:
		changes = append(changes, graphs.ElementChange{Element: h.Element, Ohms: h.partOhms(c)})
	case Touch, LoadShort:
		changes = append(changes, graphs.ElementChange{Element: -1, A: h.At, B: h.To, Ohms: shortedInputOhms})
	case LoadOpen:
		for _, id := range c.Incident(h.At) {
			if e := c.Elements[id]; e.Kind == graphs.Resistance && (e.A == h.To || e.B == h.To) {
				changes = append(changes, graphs.ElementChange{Element: int(id), Ohms: open})
			}
		}
	case StuckOn:
		if h.To >= 0 {
			changes = append(changes, graphs.ElementChange{Element: -1, A: h.At, B: h.To, Ohms: stuckOhms})
		}
	}
	if h.Blown >= 0 {
		changes = append(changes, graphs.ElementChange{Element: h.Blown, Ohms: open})
	}
	return changes
}
