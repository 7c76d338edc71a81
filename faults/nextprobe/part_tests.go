package nextprobe

import (
	"fmt"

	"bellout/faults/causes"
	"bellout/model"
)

// leastShare is the part of the suspicion under which a part is not measured.
const leastShare = 0.05

// settled is the share of the first suspect under which a cheap reading of another
// one is still made.
const settled = 0.9

// parts proposes the reading that tells which part killed the devices that
// failed, the likeliest first. Where the wiring is proven sound these are volts
// and ripple at supplies.
func (p *Planner) parts() (Proposal, bool) {
	ranking := p.ranking()
	shares := make([]float64, len(ranking.Suspects))
	for at, suspect := range ranking.Suspects {
		shares[at] = suspect.Share
	}
	if ranking.Verdict == causes.Strong && len(shares) > 0 && shares[0] >= enough {
		return Proposal{}, false
	}
	if suspect, found := p.supplyOfTheDead(ranking); found {
		return p.partProposal(ranking, suspect), true
	}
	if ranking.Verdict == causes.None {
		return Proposal{}, false
	}
	for _, suspect := range ranking.Suspects {
		if suspect.Share < leastShare && (ranking.Verdict != causes.Undecided && shares[0] >= settled || suspect.Share < leastShare/100) {
			break // where the leaders were all measured and nothing is decided, the rest is asked too
		}
		if suspect.Next == nil || !p.mayMeasure(*suspect.Next) {
			continue
		}
		return p.partProposal(ranking, suspect), true
	}
	return Proposal{}, false
}

// supplyOfTheDead is the reading that comes first where devices died: the volts, DC
// and AC, of each supply that they hang on or share a return with, the most suspected
// first. Nothing else decides so much for so little. The other range of a supply is
// worth a turn of the knob where the tips are on it.
func (p *Planner) supplyOfTheDead(ranking *causes.Ranking) (causes.Suspect, bool) {
	const atHand = 3
	var best causes.Suspect
	most := -1.0
	for _, s := range ranking.Suspects {
		if s.Next == nil || !s.Next.Mode.Volts() || s.Device == "" || s.Next.Red.Device != s.Device || len(s.Next.Conditions) > 0 || !p.mayMeasure(*s.Next) {
			continue
		}
		worth := s.Share
		if p.held != nil && p.held.Red == s.Next.Red && p.held.Black == s.Next.Black {
			worth *= atHand
		}
		if worth > most {
			best, most = s, worth
		}
	}
	return best, most >= 0
}

// beepedAt returns the reading that only beeped at a touch which asks for ohms.
func (p *Planner) beepedAt(probe causes.Probe) (number int64, found bool) {
	if probe.Mode != model.ModeOhms {
		return 0, false
	}
	conditions := p.plainConditions(probe)
	for _, r := range p.machine.Readings {
		same := r.Red == probe.Red && r.Black == probe.Black || r.Red == probe.Black && r.Black == probe.Red
		if same && r.Value.Kind == model.ShowsBeep && r.Stands() && !p.known.Stale(r.Number) && p.bench.Staying().WithoutTakeOut(r).String() == conditions {
			return r.Number, true
		}
	}
	return 0, false
}

func (p *Planner) ranking() *causes.Ranking {
	return causes.Rank(p.bench, causes.KnownFrom(p.known), causes.DefaultWeights())
}

// mayMeasure says whether a reading is new, can be reached, and lies on the
// extra-low-voltage side where volts are measured.
func (p *Planner) mayMeasure(probe causes.Probe) bool {
	red, foundRed := p.machine.TerminalIndex(probe.Red)
	black, foundBlack := p.machine.TerminalIndex(probe.Black)
	if !foundRed || !foundBlack {
		return false
	}
	if probe.Mode.Volts() && !(p.known.Report().MayBeLive() && p.bench.MayProbeLive(red, black)) {
		return false
	}
	conditions := p.conditionsOf(probe)
	for _, r := range p.machine.Readings {
		same := r.Red == probe.Red && r.Black == probe.Black || r.Red == probe.Black && r.Black == probe.Red
		if same && r.Mode == probe.Mode && r.Stands() && !p.known.Stale(r.Number) && p.bench.Staying().WithoutTakeOut(r).String() == p.plainConditions(probe) {
			return false
		}
	}
	return p.reachable(red, black, conditions)
}

// plainConditions are a probe's conditions without what takes out batteries.
func (p *Planner) plainConditions(probe causes.Probe) string {
	return p.bench.Staying().WithoutTakeOut(model.Reading{Red: probe.Red, Black: probe.Black, Conditions: p.conditionsOf(probe)}).String()
}

func (p *Planner) conditionsOf(probe causes.Probe) model.Conditions {
	var list []model.Condition
	for _, text := range probe.Conditions {
		if parsed, err := p.machine.ParseConditions(text); err == nil {
			list = append(list, parsed...)
		}
	}
	return model.NewConditions(list...)
}

func (p *Planner) partProposal(ranking *causes.Ranking, suspect causes.Suspect) Proposal {
	probe := suspect.Next
	red, _ := p.machine.TerminalIndex(probe.Red)
	black, _ := p.machine.TerminalIndex(probe.Black)
	made := p.proposal(red, black, probe.Mode, p.conditionsOf(*probe))
	made.GainBits = bits(gain(suspect.Share, 0.05))
	title := string(suspect.Mechanism)
	if known := causes.DefaultWeights().Title[suspect.Mechanism]; known != "" {
		title = known
	}
	made.Reason = fmt.Sprintf("%s failed; of what they share, %s (%s) has %s of the suspicion.",
		listed(ranking.Failed, 6), suspect.Place, title, model.PercentText(suspect.Share))
	if suspect.Share < 0.01 {
		made.Reason = fmt.Sprintf("%s failed; what is likelier was measured and decided nothing: %s (%s) is next.", listed(ranking.Failed, 6), suspect.Place, title)
	}
	if number, beeped := p.beepedAt(*probe); beeped {
		made.Reason += fmt.Sprintf(" Reading %d beeps, which a joint of some ohms does as well: it is the number that decides.", number)
	}
	made.Answers = []Answer{{probe.Innocent.Shows, probe.Innocent.Means}, {probe.Guilty.Shows, probe.Guilty.Means}}
	switch {
	case probe.Mode == model.ModeVoltsDC && p.machine.Terminals[red].Role == model.RoleRail && len(probe.Conditions) == 0:
		made.Prepare = append(made.Prepare, "take its loads off and hang a dummy load (a lamp, a resistor) on it: nothing more can die")
	case probe.Mode == model.ModeVoltsAC:
		made.Prepare = append(made.Prepare, "load it as in use, better with a dummy load: ripple shows under load only")
	}
	return made
}
