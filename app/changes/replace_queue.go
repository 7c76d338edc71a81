package changes

import (
	"strings"

	"bellout/faults/nextprobe"
)

// Proposals are the measurements of the sheet for the bench, in their order, each
// with what to do to the machine before and with its caution. What is done without
// a meter stays on the sheet. Volts are asked for where the sheet asks for them: at
// the open plug, extra-low voltage only, never on the mains side. Never nil.
func (r *Replacement) Proposals() []nextprobe.Proposal {
	list := []nextprobe.Proposal{}
	for _, s := range r.Steps {
		if s.Probe == nil {
			continue
		}
		probe := *s.Probe
		p := nextprobe.Proposal{
			Probe: &probe, Reason: sentence(s.Do), Caution: s.Caution, Proves: []string{},
			Prepare: []string{"Replacing " + r.Device + ", " + string(s.Stage) + "."},
			Answers: []nextprobe.Answer{{Shows: s.Expect, Means: "as it should be"}},
		}
		if s.Else != "" {
			p.Answers = append(p.Answers, nextprobe.Answer{Shows: "anything else", Means: s.Else})
		}
		p.Why = strings.Join([]string{p.Prepare[0], p.Reason, "Expect " + s.Expect + ".", s.Else, s.Caution}, " ")
		p.Why = strings.Join(strings.Fields(p.Why), " ")
		list = append(list, p)
	}
	return list
}

func sentence(text string) string {
	if text == "" || strings.HasSuffix(text, ".") {
		return text
	}
	return text + "."
}
