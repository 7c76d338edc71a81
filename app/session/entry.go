package session

import (
	"errors"

	"bellout/model"
)

// ReadEntry reads what is typed for the meter's display, where no range was asked
// for.
func ReadEntry(text string) (Entry, error) { return readEntry(text, "") }

// ReadEntry reads what is typed for the meter's display: in the range of the probe
// that was taken, unless the unit says another. An error says why it cannot be
// stored.
func (d *Session) ReadEntry(text string) (Entry, error) {
	asked := model.Mode("")
	if d.offered != nil && d.offered.Probe != nil {
		asked = d.offered.Probe.Mode
	}
	return readEntry(text, asked)
}

func readEntry(text string, asked model.Mode) (Entry, error) {
	display, err := model.ParseDisplay(text)
	if err != nil {
		return Entry{}, err
	}
	mode, err := display.Mode(asked)
	if err != nil {
		return Entry{}, err
	}
	entry := Entry{Value: display.Value, Mode: mode, Drift: display.Drift, Note: display.Note}
	for _, complaint := range (model.Reading{Mode: mode, Value: entry.Value}).ValidateNew() {
		if complaint.Field == "value" {
			return Entry{}, errors.New(complaint.Problem + "; " + complaint.Mend)
		}
	}
	return entry, nil
}
