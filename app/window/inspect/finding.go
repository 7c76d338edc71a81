package inspect

import (
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"

	"bellout/app/session"
	"bellout/app/window/look"
	"bellout/faults"
	"bellout/faults/judge"
	"bellout/model"
)

// signOf is the sign of a severity.
func signOf(severity faults.Severity) look.Sign {
	switch severity {
	case faults.Fault:
		return look.SignFault
	case faults.Warning:
		return look.SignWarning
	}
	return look.SignNote
}

func (i *Inspector) showFinding(at int) {
	findings := i.room.Session.View().Report.Findings
	if at < 0 || at >= len(findings) {
		i.say("That finding is gone: the map, or the readings, do not support it any more.")
		return
	}
	finding := findings[at]
	i.title(finding.Headline, ruleTitle(finding.Rule))
	i.signed(signOf(finding.Severity), fmt.Sprintf("%s, %s sure given this map", finding.Severity, model.PercentText(finding.Confidence)), true)
	i.say(finding.Message)
	i.heading("How to confirm and fix it")
	i.say(finding.Advice)
	i.showPlaces(finding)
	i.showReadings(finding.Readings)
	for _, rule := range faults.Rules {
		if rule.Name == finding.Rule {
			i.heading("Why it matters")
			i.say(rule.Why)
		}
	}
	i.highlightFinding(finding)
}

// highlightFinding brings out what the finding is about.
func (i *Inspector) highlightFinding(f faults.Finding) {
	devices := slices.Clone(f.Devices)
	i.room.Session.SetHighlight(session.Highlight{
		What: f.Headline, Devices: devices,
		Strands: []session.Strand{{Terminals: f.Terminals, Wires: f.Wires}},
	})
}

// placeMost is how many places a finding lists of each kind.
const placeMost = 6

func (i *Inspector) showPlaces(f faults.Finding) {
	if len(f.Wires)+len(f.Devices)+len(f.Terminals) == 0 {
		return
	}
	i.heading("Where")
	row := container.New(&look.Flow{Gap: 4})
	for _, group := range []struct {
		kind  session.Kind
		names []string
	}{{session.Wire, f.Wires}, {session.Terminal, f.Terminals}, {session.Device, f.Devices}} {
		for at, name := range group.names {
			if at == placeMost {
				row.Add(look.Line(fmt.Sprintf("and %d more", len(group.names)-at), look.Now().Soft, theme.SizeNameText, fyne.TextStyle{}))
				break
			}
			row.Add(look.NewPress(name, "", func() { i.room.Session.Select(session.Selection{Kind: group.kind, Name: name}) }))
		}
	}
	i.add(row)
	if len(f.Nets) > 0 {
		i.say("Nets: " + strings.Join(f.Nets, ", "))
	}
}

// readingMost is how many readings are listed, the newest first.
const readingMost = 6

func (i *Inspector) showReadings(numbers []int64) {
	if len(numbers) == 0 {
		return
	}
	i.heading("Readings")
	machine := i.room.Session.Machine()
	sorted := slices.Clone(numbers)
	slices.Sort(sorted)
	slices.Reverse(sorted)
	for at, number := range sorted {
		if at == readingMost {
			i.say(fmt.Sprintf("and %d more", len(sorted)-at))
			return
		}
		if reading, there := machine.Reading(number); there {
			i.say(readingWords(reading))
		}
	}
}

func readingWords(r model.Reading) string {
	text := fmt.Sprintf("%d  %s to %s: %s", r.Number, r.Red, r.Black, judge.ValueText(r))
	if conditions := r.Conditions.String(); conditions != "" {
		text += ", " + conditions
	}
	return text
}
