package faults

import (
	"slices"

	"bellout/model"
)

// Report is what Bellout says of a machine.
type Report struct {
	Findings []Finding `json:"findings"`
	Proven   Proven    `json:"proven"`
	// Unexplained are the readings that contradict the map and are in no finding.
	// Never nil.
	Unexplained []Unexplained `json:"-"`
}

// Check runs every rule over the machine and its readings.
func Check(m *model.Machine) *Report { return Diagnose(m).report }

// mapFindings returns what the rules find on the map alone, as long as more,
// which is asked before each rule, says so.
func (b *Analysis) mapFindings(more func() bool) []Finding {
	explained := b.explained
	b.explained = nil
	defer func() { b.explained = explained }()
	var list []Finding
	for _, rule := range Rules {
		if !more() {
			break
		}
		list = append(list, rule.Check(b)...)
	}
	return list
}

// report puts together what the map and what the readings call for: one cause,
// one finding, the worst first.
func (b *Analysis) report(onMap []Finding, explained map[string][]Finding) *Report {
	report := &Report{Findings: []Finding{}}
	report.Findings = append(report.Findings, b.confirmed(onMap, explained)...)
	for _, rule := range Rules {
		report.Findings = append(report.Findings, b.fresh(onMap, explained[rule.Name])...)
	}
	slices.SortStableFunc(report.Findings, compareFindings)
	report.Unexplained = b.evidence.unexplained(report.Findings)
	report.Proven = b.evidence.proof.proven()
	return report
}

// Live returns the finding of volts that can hurt while nothing shows that the
// machine is dead: nobody is sent to touch anything then. False: there is none.
func (r *Report) Live() (Finding, bool) {
	for _, finding := range r.Findings {
		if finding.Rule == nameLivePart && !finding.ShownDead {
			return finding, true
		}
	}
	return Finding{}, false
}

// MayBeLive says whether live probes may be proposed at all: not after volts that
// can hurt, until an electrician had a look, whether the machine is dead now or
// not.
func (r *Report) MayBeLive() bool {
	return !slices.ContainsFunc(r.Findings, func(f Finding) bool { return f.Rule == nameLivePart })
}

func severityOrder(s Severity) int {
	return slices.Index([]Severity{Fault, Warning, Note}, s)
}

// harm lists the rules, those first that destroy most and soonest. Judgement.
var harm = []string{
	nameLivePart, "short", "rail-cross", "reverse-polarity", "over-voltage", nameFailedPart, "no-earth", "swapped", "mixed-ground", "open", "high-resistance",
	"sneak-path", "no-return", "no-feed", "no-fuse", "fuse-too-large", "overload", "critical-return", "no-flyback",
	"ground-loop", "floating-ground", "intermittent", "under-voltage", "voltage-drop",
}

func ruleOrder(rule string) int { return slices.Index(harm, rule) }
