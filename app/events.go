package main

import (
	"fmt"
	"io"
	"os"

	"bellout/app/session"
)

// eventsTo names the variable that has the window write what happens, a line
// each, so that a test which works it with real keys knows when to go on.
const eventsTo = "BELLOUT_EVENTS"

// tellEvents writes what happens on the desk to the standard error, if asked to.
func tellEvents(d *session.Session) {
	if os.Getenv(eventsTo) == "" {
		return
	}
	d.Listen(func(what session.Changed) { writeEvents(os.Stderr, d, what) })
}

func writeEvents(out io.Writer, d *session.Session, what session.Changed) {
	say := func(form string, words ...any) {
		_, _ = fmt.Fprintf(out, "event "+form+"\n", words...) // whoever stopped listening misses nothing
	}
	view := d.View()
	if what.Has(session.File) {
		say("file %s", view.Path)
	}
	if what.Has(session.Map) {
		say("map %d", view.Edition)
	}
	if what.Has(session.Findings) {
		say("findings %d", len(view.Report.Findings))
	}
	if what.Has(session.Proposal) && view.Next != nil && view.Next.Probe != nil {
		say("proposal %s %s", view.Next.Probe.Red, view.Next.Probe.Black)
	}
	if what.Has(session.Tips) {
		say("tips %s %s", d.Tip(session.Red), d.Tip(session.Black))
	}
	if what.Has(session.Answered) {
		if outcome := d.Outcome(); outcome != nil {
			say("answered %d %s", outcome.Reading.Number, outcome.Outcome)
		} else {
			say("answered nothing")
		}
	}
	if what.Has(session.Selected) {
		say("selected %d %q lit %q %d", d.Selection().Kind, d.Selection().Name, d.Highlight().What, len(d.Highlight().Strands))
	}
	if what.Has(session.Noticed) {
		say("notice %s", d.Notice().Text)
	}
}
