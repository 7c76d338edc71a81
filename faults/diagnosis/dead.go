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
}

// NewDeadReading returns a reading of the dead machine as evidence; false where
// its tips are not on the map.
func (l *Live) NewDeadReading(r model.Reading) (*DeadReading, bool) {
	red, knownRed := l.Circuit.Machine.TerminalIndex(r.Red)
	black, knownBlack := l.Circuit.Machine.TerminalIndex(r.Black)
	return &DeadReading{l, r, red, black}, !live(r.Mode) && knownRed && knownBlack
}

func (d *DeadReading) String() string {
	return fmt.Sprintf("%s %s-%s %s", d.Reading.Mode, d.Reading.Red, d.Reading.Black, d.Reading.Value)
}

// Log is the likelihood that the meter shows what it did.
func (d *DeadReading) Log(set []Hypothesis) float64 {
	return math.Log(d.l.judge.Meter.Likelihood(d.Reading, d.l.sight(d.red, d.black, d.Reading.Conditions, set)))
}

// Propose adds what lies between the tips.
func (d *DeadReading) Propose(p *proposer) { p.between(d.red, d.black, nil, mostDepth) }

// sight is what a meter on two terminals of the dead machine faces under some
// hypotheses.
func (l *Live) sight(red, black int, conditions model.Conditions, set []Hypothesis) judge.Sight {
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
