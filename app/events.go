package main

import (
	"fmt"
	"io"
	"os"

	"bellout/app/desk"
)

// eventsTo names the variable that has the window write what happens, a line
// each, so that a test which works it with real keys knows when to go on.
const eventsTo = "BELLOUT_EVENTS"

// tellEvents writes what happens on the desk to the standard error, if asked to.
func tellEvents(d *desk.Desk) {
	if os.Getenv(eventsTo) == "" {
		return
	}
	d.Listen(func(what desk.Changed) { writeEvents(os.Stderr, d, what) })
}

func writeEvents(out io.Writer, d *desk.Desk, what desk.Changed) {
	say := func(form string, words ...any) {
		_, _ = fmt.Fprintf(out, "event "+form+"\n", words...) // whoever stopped listening misses nothing
	}
	view := d.View()
	if what.Has(desk.File) {
		say("file %s", view.Path)
	}
	if what.Has(desk.Map) {
		say("map %d", view.Edition)
	}
	if what.Has(desk.Findings) {
		say("findings %d", len(view.Report.Findings))
	}
	if what.Has(desk.Proposal) && view.Next != nil && view.Next.Probe != nil {
		say("proposal %s %s", view.Next.Probe.Red, view.Next.Probe.Black)
	}
	if what.Has(desk.Tips) {
		say("tips %s %s", d.Tip(desk.Red), d.Tip(desk.Black))
	}
	if what.Has(desk.Answered) {
		if outcome := d.Outcome(); outcome != nil {
			say("answered %d %s", outcome.Reading.Number, outcome.Outcome)
		} else {
			say("answered nothing")
		}
	}
	if what.Has(desk.Selected) {
		say("selected %d %q lit %q %d", d.Selection().Kind, d.Selection().Name, d.Highlight().What, len(d.Highlight().Strands))
	}
	if what.Has(desk.Noticed) {
		say("notice %s", d.Notice().Text)
	}
}
