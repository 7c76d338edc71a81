package nextprobe

import (
	"fmt"

	"bellout/faults/judge"
	"bellout/model"
)

// secondLook proposes ohms where a beep could not tell a join from electronics
// that conduct: metal reads steadily under half an ohm, which no input does.
func (p *Planner) secondLook() (Proposal, bool) {
	for _, r := range p.machine.Readings {
		if r.Mode != model.ModeContinuity || r.Value.Kind != model.ShowsBeep || !p.known.Counts(r.Number) || p.known.OutcomeOf(r.Number) != judge.Undecided {
			continue
		}
		red, _ := p.machine.TerminalIndex(r.Red)
		black, _ := p.machine.TerminalIndex(r.Black)
		if !p.reachable(red, black, r.Conditions) || p.readInOhms(r) {
			continue
		}
		made := p.proposal(red, black, model.ModeOhms, r.Conditions)
		made.GainBits = bits(gain(doubtfulBeep, p.judge.Meter.MissedTouch))
		made.Reason = fmt.Sprintf("Reading %d beeps, and electronics lie between, which may beep as a join does.", r.Number)
		made.Answers = []Answer{
			{fmt.Sprintf("Steadily under %.1f ohm, leads included", judge.MetalBelowOhms+p.judge.Meter.LeadOhms), "metal joins them"},
			{"More, or a number that creeps", "it may be what lies between"},
		}
		return made, true
	}
	return Proposal{}, false
}

// doubtfulBeep is how often such a beep turns out to be metal. Judgement.
const doubtfulBeep = 0.1

// readInOhms says whether the pair of a reading was read in ohms under the same
// conditions.
func (p *Planner) readInOhms(r model.Reading) bool {
	for _, number := range p.known.Readings(r.Red, r.Black, r.Conditions) {
		if other, found := p.machine.Reading(number); found && other.Mode == model.ModeOhms {
			return true
		}
	}
	return false
}
