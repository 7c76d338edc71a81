package bench

import (
	"fmt"

	"bellout/app/session"
	"bellout/app/window/room"
)

// offersAgain is true after a reading that contradicts the map and that no
// finding explains, until something else is begun: it is worth one more touch.
// Nobody is sent back to what is live.
func (b *Bench) offersAgain(now touch) bool {
	if !b.contradicted() || !deadTest(b.desk.Outcome().Reading.Mode) || now.stage != proposed && now.stage != nothing && now.stage != thinking || b.noted() != b.draft.logged {
		return false
	}
	_, there := b.findingOfOutcome()
	return !there
}

// again makes the last touch once more.
func (b *Bench) again() {
	b.draft.logged = ""
	b.panel.showBoard()
	b.panel.say(saidHint, "The same touch again: press both tips firmly, on clean metal; then what the meter shows.")
	b.focus(b.panel.value)
}

// toFinding goes to the finding that the last reading brought; where it
// contradicts the map and no finding covers it yet, to the list of them.
func (b *Bench) toFinding() {
	at, there := b.findingOfOutcome()
	if !there && !b.contradicted() {
		return
	}
	to := session.Selection{Kind: session.Finding, Finding: at}
	if !there {
		to = session.Selection{Kind: session.Reading, Name: fmt.Sprint(b.desk.Outcome().Reading.Number)}
	}
	b.desk.Select(to)
	if b.room.Show != nil {
		b.room.Show(room.Findings)
	}
}

// findingOfOutcome is the place in the report of what the last reading brought,
// or else of the first finding that names the reading.
func (b *Bench) findingOfOutcome() (at int, there bool) {
	outcome := b.desk.Outcome()
	if outcome == nil {
		return 0, false
	}
	report := b.desk.View().Report
	for _, brought := range outcome.Findings {
		for i, finding := range report.Findings {
			if finding.Rule == brought.Rule && finding.Message == brought.Message {
				return i, true
			}
		}
	}
	for i, finding := range report.Findings {
		for _, number := range finding.Readings {
			if number == outcome.Reading.Number {
				return i, true
			}
		}
	}
	return 0, false
}
