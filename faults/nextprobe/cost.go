package nextprobe

import (
	"math"
	"slices"

	"bellout/model"
)

// Trouble in units of one reading with both tips where they are. Judgement: the
// order of size of seconds at a machine that stands open.
const (
	troubleReading = 1.0
	troubleTip     = 0.05 // one tip moved
	troubleWalk    = 0.1  // it moves to another zone
	troublePlug    = 1.0  // pulled, or put back
	troubleLift    = 1.5  // a wire taken off, or put back
	troubleClip    = 0.3  // a clip lead placed or taken off
	troubleSwitch  = 0.2  // a contact held in a position
)

// trouble returns what a touch costs, the tips being where they are.
func (p *Planner) trouble(red, black int, conditions model.Conditions) float64 {
	conditions = p.takenOut(red, black, conditions)
	sum := troubleReading
	var held []model.TerminalRef
	var were model.Conditions
	if p.held != nil {
		held, were = []model.TerminalRef{p.held.Red, p.held.Black}, p.held.Conditions
	}
	for _, t := range [2]int{red, black} {
		ref := p.ref(t)
		if slices.Contains(held, ref) {
			continue
		}
		sum += troubleTip
		if !slices.ContainsFunc(held, func(h model.TerminalRef) bool { return p.zone(h) == p.zone(ref) }) {
			sum += troubleWalk
		}
	}
	for _, condition := range conditions {
		if !slices.Contains(were, condition) {
			sum += troubleOf(condition)
		}
	}
	for _, condition := range were {
		if !slices.Contains(conditions, condition) {
			sum += troubleOf(condition)
		}
	}
	return sum
}

// readingSeconds is what one reading costs with both tips where they are.
// Judgement.
const readingSeconds = 10

// timed says what a proposal costs.
func (p *Planner) timed(proposal Proposal) Proposal {
	if proposal.Probe != nil && proposal.Seconds == 0 {
		proposal.Seconds = p.seconds(*proposal.Probe)
	}
	return proposal
}

// seconds is what a probe costs from where the tips are.
func (p *Planner) seconds(probe Probe) float64 {
	red, _ := p.machine.TerminalIndex(probe.Red)
	black, _ := p.machine.TerminalIndex(probe.Black)
	return math.Round(readingSeconds * p.trouble(red, black, probe.Conditions))
}

func (p *Planner) zone(ref model.TerminalRef) string {
	device, _ := p.machine.Device(ref.Device)
	return device.Zone
}

func troubleOf(condition model.Condition) float64 {
	switch condition.Kind {
	case model.Unplugged:
		return troublePlug
	case model.Lifted:
		return troubleLift
	case model.Clipped:
		return troubleClip * float64(len(condition.ClippedRefs()))
	default:
		return troubleSwitch
	}
}
