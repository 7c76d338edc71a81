package command

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bellout/app/textout"
	"bellout/faults"
	"bellout/faults/judge"
	"bellout/model"
	"bellout/model/wording"
)

var severities = []faults.Severity{faults.Fault, faults.Warning, faults.Note}

var severityPaint = map[faults.Severity]textout.Paint{
	faults.Fault: textout.Red, faults.Warning: textout.Yellow, faults.Note: textout.Strong,
}

// layFindings prints findings one below another, the worst first.
func layFindings(p *textout.Page, machine *model.Machine, findings []faults.Finding) {
	sorted := slices.Clone(findings)
	slices.SortStableFunc(sorted, func(a, b faults.Finding) int {
		return slices.Index(severities, a.Severity) - slices.Index(severities, b.Severity)
	})
	for _, finding := range sorted {
		layFinding(p, machine, finding)
		p.Gap()
	}
}

const findingIndent = "         "

func layFinding(p *textout.Page, machine *model.Machine, finding faults.Finding) {
	label := fmt.Sprintf("%-*s", len(findingIndent), finding.Severity)
	p.Hanging(p.Paint(severityPaint[finding.Severity], label), p.Paint(textout.Strong, finding.Headline)+" ("+ruleWords(finding)+", "+howSure(finding)+")")
	p.Hanging(findingIndent, finding.Message)
	if finding.Advice != "" {
		p.Hanging(findingIndent, measureNext(finding))
	}
	if evidence := evidenceLine(machine, finding.Readings); evidence != "" && !strings.Contains(finding.Message, "Evidence:") {
		p.Hanging(findingIndent, evidence)
	}
}

// ruleWords are the rule's word and, of a part, in what way it failed.
func ruleWords(finding faults.Finding) string {
	if finding.Mode == "" {
		return finding.Rule
	}
	return finding.Rule + ", " + string(finding.Mode)
}

func howSure(finding faults.Finding) string {
	switch {
	case finding.Confidence >= 0.995:
		return "follows from this map"
	case strings.HasSuffix(finding.Headline, " %)"): // it says so itself
		return "given this map"
	}
	if finding.Confidence < 0.005 {
		return "under 1 % sure, given this map"
	}
	return fmt.Sprintf("%.0f %% sure, given this map", math.Round(100*finding.Confidence))
}

// measureNext puts the words that the reader looks for before an advice that
// does not start with them. What to do about volts is no measurement first.
func measureNext(finding faults.Finding) string {
	switch {
	case strings.HasPrefix(finding.Advice, "Measure next"):
		return finding.Advice
	case finding.Mode != "", finding.Rule == "live-part":
		return "Do now: " + finding.Advice
	default:
		return "Measure next: " + finding.Advice
	}
}

// evidenceLine says what the meter showed, for the readings a finding rests on.
func evidenceLine(machine *model.Machine, numbers []int64) string {
	const most = 4
	var parts []string
	for i, number := range numbers {
		if i == most {
			parts = append(parts, fmt.Sprintf("and %d more", len(numbers)-most))
			break
		}
		part := fmt.Sprintf("%d", number)
		if reading, found := machine.Reading(number); found {
			part += " (" + touch(reading) + ")"
		}
		parts = append(parts, part)
	}
	if len(parts) == 0 {
		return ""
	}
	if len(numbers) == 1 {
		return "From reading " + parts[0] + "."
	}
	return "From readings " + strings.Join(parts, ", ") + "."
}

// touch says one reading in a few words.
func touch(reading model.Reading) string {
	text := reading.Red.String() + " " + reading.Black.String() + " " + judge.ValueText(reading)
	if len(reading.Conditions) > 0 {
		text += ", " + reading.Conditions.String()
	}
	return text
}

// some names the first few of a list and how many more there are.
func some(list []string, most int) string {
	if len(list) == most+1 { // "and 1 more" is as long as the one
		most++
	}
	return wording.Some(list, most)
}
