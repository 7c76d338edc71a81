package inspect

import (
	"fmt"
	"slices"
	"strconv"

	"bellout/app/session"
	"bellout/app/window/look"
	"bellout/faults/judge"
	"bellout/model"
)

// showReading says all about a reading that no finding covers.
func (i *Inspector) showReading(name string) {
	view := i.room.Session.View()
	number, err := strconv.ParseInt(name, 10, 64)
	reading, there := view.Machine.Reading(number)
	if err != nil || !there {
		i.say(fmt.Sprintf("There is no reading %s.", name))
		return
	}
	i.title("Reading "+name, readingFacts(reading))
	switch {
	case !reading.Stands():
		i.signed(look.SignStruck, "Struck out: "+reading.Struck, true)
	case view.Stale[number]:
		i.signed(look.SignStale, "Its way was edited since: it is no evidence any more.", true)
	case view.Outcomes[number] == judge.Contradicts:
		i.signed(look.SignContradicts, "Contradicts the map.", true)
		for _, left := range view.Report.Unexplained {
			if slices.Contains(left.Readings, number) {
				i.say(left.Words)
			}
		}
	}
	i.heading("The tips were on")
	for _, ref := range []model.TerminalRef{reading.Red, reading.Black} {
		i.terminalLink(view.Machine, ref)
	}
	if reading.Note != "" {
		i.heading("Note")
		i.say(reading.Note)
	}
	i.room.Session.SetHighlight(session.Highlight{What: "the tips of reading " + name, Strands: []session.Strand{{Terminals: []string{reading.Red.String(), reading.Black.String()}}}})
}

func readingFacts(r model.Reading) string {
	text := judge.ValueText(r)
	if conditions := r.Conditions.String(); conditions != "" {
		text += ", " + conditions
	}
	if !r.At.IsZero() {
		text += ", " + r.At.Local().Format("2 January 2006 15:04")
	}
	return text
}
