package model

import (
	"cmp"
	"slices"
	"strconv"
	"time"
)

// EventWord says what became of the part that stood in a device's place.
type EventWord string

// The events.
const (
	EventFailed   EventWord = "failed"   // the part died
	EventReplaced EventWord = "replaced" // another part stands there since
)

// EventWords lists every event.
var EventWords = []EventWord{EventFailed, EventReplaced}

// Event is a line of the history of a device's place: what the device row says of
// the part that is in now, events say of those before it. Several parts may have
// died in one place.
type Event struct {
	At     time.Time `json:"at"` // zero: not known, of a death only
	Device string    `json:"device"`
	Word   EventWord `json:"event"`
	Note   string    `json:"note"` // of a death what the part died of
}

// Table says which table an event belongs to.
func (e Event) Table() Table { return TableHistory }

// ID tells events apart by device, word and moment; deaths of no known time by
// their notes: there may have been several.
func (e Event) ID() string {
	id := e.Device + " " + string(e.Word)
	if !e.At.IsZero() {
		return id + " " + FormatTime(e.At.UTC())
	}
	return id + " " + strconv.Quote(e.Note)
}

// String says the event as people do: A1 failed on 2026-03-01: input shorted.
func (e Event) String() string {
	text := e.Device + " failed"
	if e.Word == EventReplaced {
		text = e.Device + " was replaced"
	}
	if !e.At.IsZero() {
		text += " on " + e.At.Format(time.DateOnly)
	}
	if e.Note != "" {
		text += ": " + e.Note
	}
	return text
}

// Validate returns every complaint about the event by itself.
func (e Event) Validate() []FieldError {
	var found complaints
	found.reference("device", e.Device)
	found.oneOf("event", string(e.Word), words(EventWords))
	found.moment("at", e.At)
	if e.Word == EventReplaced && e.At.IsZero() {
		found.add("at", "nothing says when it was replaced", "write the day, as in 2026-05-04: the new part testifies from then on")
	}
	found.text("note", e.Note)
	return found
}

// compareEvents orders events as they came, those of no known time first.
func compareEvents(a, b Event) int {
	return cmp.Or(a.At.Compare(b.At), Compare(a.Device, b.Device), cmp.Compare(slices.Index(EventWords, a.Word), slices.Index(EventWords, b.Word)), cmp.Compare(a.Note, b.Note))
}

// History returns the events of a device's place in the order in which they came;
// empty if there are none.
func (m *Machine) History(device string) []Event {
	list := []Event{}
	for _, e := range m.Events {
		if e.Device == device {
			list = append(list, e)
		}
	}
	slices.SortFunc(list, compareEvents)
	return list
}

// Deaths returns the parts that died in a device's place, the one that is in now
// among them, as events in the order in which they came; empty if none did.
func (m *Machine) Deaths(device string) []Event {
	deaths := slices.DeleteFunc(m.History(device), func(e Event) bool { return e.Word != EventFailed })
	if now, there := m.Device(device); there && now.Health == HealthFailed {
		deaths = append(deaths, Event{At: now.FailedAt, Device: device, Word: EventFailed, Note: now.Note})
	}
	slices.SortStableFunc(deaths, compareEvents)
	return deaths
}

// InSince returns since when the part that is in now stands in a device's place;
// false where none was ever replaced. What was read or seen before says nothing of
// it.
func (m *Machine) InSince(device string) (since time.Time, replaced bool) {
	for _, e := range m.Events {
		if e.Device == device && e.Word == EventReplaced && e.At.After(since) {
			since, replaced = e.At, true
		}
	}
	return since, replaced
}
