package bench

import (
	"errors"
	"fmt"
	"strings"

	"bellout/app/session"
	"bellout/faults/judge"
	"bellout/model"
)

// understood says how what is typed is taken, in the words in which it is stored.
func understood(entry session.Entry) string {
	words := judge.ValueText(model.Reading{Value: entry.Value, Mode: entry.Mode})
	switch entry.Mode {
	case model.ModeVoltsDC:
		words += " DC"
	case model.ModeDiode:
		words += ", diode range"
	}
	if entry.Live() {
		words += ", live"
	}
	if entry.Drift != "" {
		words += ", " + string(entry.Drift)
	}
	if entry.Note != "" {
		words += fmt.Sprintf(", note “%s”", entry.Note)
	}
	return words
}

// taking is what stands beside the entry while something is typed: what was
// understood, or between which two it asks.
type taking struct {
	words string
	asks  bool // it may be meant in two ways, or no meter shows it
	live  bool
}

func (b *Bench) taking() taking {
	typed := strings.TrimSpace(b.draft.value)
	if typed == "" {
		return taking{}
	}
	entry, err := b.desk.ReadEntry(typed)
	if err == nil {
		return taking{words: understood(entry), live: entry.Live()}
	}
	if ref, there := b.exact(typed); there {
		if tip, sure := b.tipFor(); sure {
			return taking{words: fmt.Sprintf("a place: %s for the %s tip", ref, tipWords[tip].name)}
		}
		return taking{words: fmt.Sprintf("a place: %s for which tip?", ref), asks: true}
	}
	if _, none := errors.AsType[model.NoReading](err); none {
		return taking{}
	}
	return taking{words: err.Error(), asks: true}
}
