package nextprobe

import (
	"fmt"
	"slices"

	"bellout/faults/diagnosis"
	"bellout/model"
)

// Ask is a look at a device: no meter, and the answer is a symptom word.
type Ask struct {
	Device string           `json:"device"`
	When   model.Conditions `json:"-"`
	Words  []string         `json:"when"` // When, as a file writes it
}

// fromSymptoms proposes the look or the measurement that tells most of what
// keeps a device from working. False where nothing is the matter with the
// running machine, one suspect leads by enough, or nothing tells more.
func (p *Planner) fromSymptoms() (Proposal, bool) {
	posterior := p.known.Running()
	if posterior == nil {
		return Proposal{}, false
	}
	if suspects := posterior.Suspects(); len(suspects) == 0 || suspects[0].Chance >= enough {
		return Proposal{}, false
	}
	on := p.known.Report().MayBeLive() // else the plug stays out: neither volts nor a look
	acts := posterior.Acts(func(red, black int) bool { return on && p.bench.MayProbeLive(red, black) },
		func(a diagnosis.Act) bool { return !on && a.Look != "" || p.skippedAct(a) })
	if len(acts) == 0 || acts[0].Bits < leastBits {
		return Proposal{}, false
	}
	return p.actProposal(posterior, acts[0]), true
}

func (p *Planner) skippedAct(a diagnosis.Act) bool {
	if a.Look != "" {
		said := slices.ContainsFunc(p.machine.Symptoms, model.Symptom.Stands)
		device, _ := p.machine.Device(a.Look)
		return !p.options.Looks || !said || device.Health == model.HealthFailed || p.skippedLooks[a.Look+" "+a.Conditions.String()]
	}
	return !p.reachable(a.Red, a.Black, a.Conditions)
}

// SkipAsk remembers not to ask for a look again.
func (p *Planner) SkipAsk(ask Ask) {
	if p.skippedLooks == nil {
		p.skippedLooks = map[string]bool{}
	}
	p.skippedLooks[ask.Device+" "+ask.When.String()] = true
}

// actProposal words an act, with what each answer would leave.
func (p *Planner) actProposal(posterior *diagnosis.Posterior, a diagnosis.Act) Proposal {
	var made Proposal
	if a.Look != "" {
		made = Proposal{Ask: &Ask{Device: a.Look, When: a.Conditions, Words: conditionWords(a.Conditions)}, Proves: []string{}}
		made.Reason = fmt.Sprintf("Look at %s: is it working?", a.Look)
		for _, condition := range a.Conditions {
			made.Prepare = append(made.Prepare, p.prepare(condition))
		}
		if len(made.Prepare) > 0 {
			made.Caution = cautionLook
		}
	} else {
		made = p.proposal(a.Red, a.Black, a.Mode, a.Conditions)
		made.Reason = "Tells apart what may keep it from working."
	}
	made.GainBits, made.Seconds, made.Goal = bits(a.Bits), a.Seconds, Locate
	for i, o := range a.Outcomes {
		if i == mostOutcomes || o.Chance < leastOutcome {
			break
		}
		made.Answers = append(made.Answers, Answer{Shows: o.Shows(a.Mode), Means: "most likely now: " + posterior.Live.Texts(o.Leading)})
	}
	return made
}

// Bounds of what is told of an act's outcomes.
const (
	mostOutcomes = 3
	leastOutcome = 0.02
)

const cautionLook = "The machine is on: keep hands and tools out of it, and clear of what can move."

func conditionWords(conditions model.Conditions) []string {
	list := make([]string, len(conditions))
	for i, condition := range conditions {
		list[i] = condition.String()
	}
	return list
}
