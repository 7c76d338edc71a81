package nextprobe

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bellout/faults"
	"bellout/faults/explain"
	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
	"bellout/model/wording"
)

// Cautions, short, at the moment at which they apply.
const (
	cautionDead  = "Plug out and in sight, capacitors discharged, 0 V measured between the two first."
	cautionMains = "Mains side: plug out and in sight, proven dead, ohms only, never a live probe; work there is for licensed people, and local codes come first."
	cautionLive  = "A live test, on the extra-low-voltage side only: one hand, shrouded probes, the return clipped first, nothing that can move. If any of that does not hold, leave it. " +
		"Bellout never says that a circuit is safe; local codes and licensed people come first."
)

// worded puts all that a person needs into Why.
func (r Proposal) worded() Proposal {
	parts := []string{r.Reason}
	for _, answer := range r.Answers {
		parts = append(parts, fmt.Sprintf("%s: %s.", answer.Shows, answer.Means))
	}
	if len(r.Prepare) > 0 {
		parts = append(parts, "Before: "+strings.Join(r.Prepare, "; ")+".")
	}
	if r.Caution != "" {
		parts = append(parts, r.Caution)
	}
	r.Why = strings.Join(parts, " ")
	return r
}

// proposal begins a proposal: the probe, what to do before, what to mind. What stays
// live with the plug out is taken out before a dead test that it could feed.
func (p *Planner) proposal(red, black int, mode model.Mode, conditions model.Conditions) Proposal {
	if !mode.Volts() {
		conditions = p.takenOut(red, black, conditions)
	}
	made := Proposal{
		Probe:  &Probe{Red: p.ref(red), Black: p.ref(black), Mode: mode, Conditions: conditions},
		Proves: []string{},
	}
	for _, condition := range conditions {
		made.Prepare = append(made.Prepare, p.prepare(condition))
	}
	switch {
	case mode.Volts():
		made.Caution = cautionLive
	case p.mains(red) || p.mains(black):
		made.Caution = cautionMains
	default:
		made.Caution = cautionDead
	}
	stays := p.bench.Staying().Caution(red, black, made.Probe.Conditions, p.mapping.begun)
	if mode.Volts() {
		stays = p.bench.Staying().LiveCaution(red, black)
	}
	made.Caution = strings.TrimSpace(made.Caution + " " + stays)
	return made
}

// takenOut adds to conditions what takes out every battery and every box with power
// of its own that could feed a dead test; while the map is being drawn nobody knows
// where they lead, so that all of them go out.
func (p *Planner) takenOut(red, black int, conditions model.Conditions) model.Conditions {
	with, _ := p.bench.Staying().TakeOut(red, black, conditions, p.mapping.begun)
	return with
}

// mains says whether a terminal lies on the mains side: line, neutral or earth.
func (p *Planner) mains(t int) bool {
	return p.bench.LeftInPlace().Mains(t) || p.circuit.Nets().Kind(t) == graphs.NetEarth
}

// prepare says what hands do for a condition.
func (p *Planner) prepare(condition model.Condition) string {
	if step, found := p.bench.Staying().Prepare(condition); found {
		return step
	}
	switch condition.Kind {
	case model.Unplugged:
		return "unplug " + condition.Device
	case model.Lifted:
		return "lift " + condition.Wire + " at one end, and note where it was"
	case model.ContactOpen:
		if p.isFuse(condition) {
			return fmt.Sprintf("take the fuse %s:%s-%s out", condition.Device, condition.From, condition.To)
		}
		return fmt.Sprintf("hold %s:%s-%s open", condition.Device, condition.From, condition.To)
	case model.ContactClosed:
		return fmt.Sprintf("hold %s:%s-%s closed", condition.Device, condition.From, condition.To)
	case model.Driven:
		return "switch output " + condition.Device + ":" + condition.From + " on"
	default:
		return "join " + strings.Join(strings.Fields(condition.Terminals), ", ") + " by clip leads"
	}
}

func (p *Planner) isFuse(at model.Condition) bool {
	return slices.ContainsFunc(p.machine.Links, func(l model.Link) bool {
		same := l.From == at.From && l.To == at.To || l.From == at.To && l.To == at.From
		return l.Device == at.Device && same && l.Kind == model.LinkFuse
	})
}

// chainProposal proposes a touch that proves what lies between two tips.
func (p *Planner) chainProposal(net *graphs.Net, red, black int, mode model.Mode, conditions model.Conditions, proves []int) Proposal {
	if p.machine.Terminals[black].Role == model.RoleRail {
		red, black = black, red // people start at the source
	}
	made := p.proposal(red, black, mode, conditions)
	sound := 1.0
	links := 0
	for _, id := range proves {
		sound *= 1 - p.prior(id)
		if p.circuit.Elements[id].Kind == graphs.Wire {
			made.Proves = append(made.Proves, p.machine.Wires[id].Name)
		} else {
			links++
		}
	}
	slices.SortFunc(made.Proves, model.Compare)
	made.GainBits = bits(gain(1-sound, p.judge.Meter.MissedTouch))
	what := listed(made.Proves, 8)
	if len(made.Proves) == 0 {
		what = "the contacts between"
	}
	sight := p.sight(red, black, conditions)
	switch {
	case len(conditions) > 0:
		made.Reason = fmt.Sprintf("%s: a good reading proves %s, which a loop or a part hides while all is in place.", net.Name, what)
	case len(proves)-links > 1:
		made.Reason = fmt.Sprintf("%s: the tips are at two ends of a chain, so that one reading proves %s.", net.Name, what)
	default:
		made.Reason = fmt.Sprintf("%s: proves %s.", net.Name, what)
	}
	fails := "something on the way is open; " + p.then("halve it")
	if len(proves) == 1 {
		fails = "it is open, or a tip did not touch: repeat once"
	}
	if mode == model.ModeContinuity {
		made.Answers = []Answer{{"A beep", "all of that conducts"}, {"Silence", fails}}
	} else {
		beside := math.Inf(1)
		for _, id := range proves {
			beside = math.Min(beside, p.without(red, black, conditions, id).Ohms)
		}
		limit := sight.Ohms + p.judge.Meter.LeadOhms + p.judge.Meter.JointLimit
		made.Answers = []Answer{
			{fmt.Sprintf("Up to about %.1f ohm, leads included", limit), "all of that conducts"},
			{"Some ohms more", "a joint on the way is bad; " + p.then("find it")},
			{around(beside), fails},
		}
		switch {
		case p.mains(red):
		case beside < 2*p.judge.Meter.BeepBelowOhms:
			made.Reason += " In ohms, because what lies beside would beep as well."
		default:
			made.Reason += " In ohms, because it carries the current of loads: a joint of a few ohms still beeps."
		}
	}
	return made
}

// then says what the next probes do about an answer that is no good one.
func (p *Planner) then(what string) string {
	if p.options.Goal == Verify {
		return "what is left is proven first, then the probes " + what
	}
	return "the next probes " + what
}

func around(ohms float64) string {
	if math.IsInf(ohms, 1) {
		return "OL"
	}
	return judge.OhmsText(ohms)
}

// separationProposal proposes a touch that proves nets apart.
func (p *Planner) separationProposal(red, black int, mode model.Mode, conditions model.Conditions, pairs int) Proposal {
	made := p.proposal(red, black, mode, conditions)
	where := p.then("find where")
	a, b := p.bench.Net(red).Name, p.bench.Net(black).Name
	short := 1 - math.Pow(1-p.explain.Prior("short"), float64(pairs))
	made.GainBits = bits(gain(short, p.judge.Meter.FalseBeep))
	sight := p.sight(red, black, conditions)
	switch {
	case pairs > 1:
		made.Reason = fmt.Sprintf("%s against %d nets at once, joined by clip leads: proves it apart from all of them.", a, pairs)
	default:
		made.Reason = fmt.Sprintf("%s against %s: proves the two apart.", a, b)
	}
	if mode == model.ModeContinuity {
		made.Answers = []Answer{{"Silence", "they are apart"}, {"A beep", "they meet: do not power it; " + where}}
	} else {
		made.Answers = []Answer{
			{around(sight.Ohms), "what the parts between them read: they are apart"},
			{"Under 0.5 ohm", "they meet: do not power it; " + where},
		}
	}
	return made
}

// prior is the chance that an element does not conduct, before it was measured.
func (p *Planner) prior(id int) float64 {
	switch p.circuit.Elements[id].Kind {
	case graphs.Wire:
		return p.explain.Prior("wire-open") + 2*p.explain.Prior("wire-end-loose")
	case graphs.Fuse:
		return p.explain.Prior("fuse-open")
	case graphs.Contact:
		return p.explain.Prior("switch-open")
	default:
		return p.explain.Prior("contact-open")
	}
}

// gain is the information of a yes or no that is right but for a slip, about
// something of a chance.
func gain(chance, slip float64) float64 {
	seen := chance*(1-slip) + (1-chance)*slip
	return explain.Entropy([]float64{seen, 1 - seen}) - explain.Entropy([]float64{slip, 1 - slip})
}

// bits keeps the digits of an information that mean something.
func bits(value float64) float64 { return math.Max(0, math.Round(value*1e4)/1e4) }

// listed names the first few of a list and how many more there are.
func listed(list []string, most int) string {
	if len(list) == most+1 { // "and 1 more" is as long as the one
		most++
	}
	return wording.AndMore(list, most)
}

// finished says that nothing is worth probing, and what stays unproven.
func (p *Planner) finished(goals []Goal) Proposal {
	done := Proposal{Done: true, Proves: []string{}, Goal: goals[len(goals)-1]}
	proven := p.known.Report().Proven
	done.Reason = "Nothing is worth probing now."
	if done.Goal == Verify {
		done.Reason += fmt.Sprintf(" Proven: %d of %s, %d of %s.", proven.Wires, ofAll(proven.OfWires, "wire"), proven.Separations, ofAll(proven.OfSeparations, "separation"))
		if left := p.unproven(); len(left) > 0 {
			done.Reason += fmt.Sprintf(" No touch that may be asked for proves %s: a fault, a loop of earth or of a mains wire, metal of a device beside it, or a place that cannot be reached.", listed(left, 8))
		}
	}
	done.Why = done.Reason
	return done
}

// handsOff proposes nothing: volts that can hurt stand where none belong, and all
// that is left to do is to make the machine dead.
func handsOff(live faults.Finding) Proposal {
	return Proposal{Done: true, Proves: []string{}, Reason: live.Headline + ". " + live.Advice, Why: live.Headline + ". " + live.Advice, Live: true}
}

// ofAll counts what there is in all, none included.
func ofAll(count int, noun string) string {
	if count == 0 {
		return "0 " + noun + "s"
	}
	return counted(float64(count), noun)
}

// unproven returns the wires that nothing proves, sorted.
func (p *Planner) unproven() []string {
	var names []string
	for row, wire := range p.machine.Wires {
		if wire.Runs() && !p.known.WireProven(row) {
			names = append(names, wire.Name)
		}
	}
	slices.SortFunc(names, model.Compare)
	return names
}
