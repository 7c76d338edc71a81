package model

import (
	"cmp"
	"slices"
	"time"
)

// SymptomWord says what a device does.
type SymptomWord string

// The words. Blows is said of a fuse or breaker, Trips of a supply.
const (
	SymptomWorks        SymptomWord = "works"
	SymptomDead         SymptomWord = "dead" // does nothing
	SymptomWeak         SymptomWord = "weak" // dim, slow, quiet
	SymptomStuckOn      SymptomWord = "stuck-on"
	SymptomIntermittent SymptomWord = "intermittent" // flickers, resets, drops out
	SymptomHot          SymptomWord = "hot"
	SymptomNoisy        SymptomWord = "noisy" // hum, whine
	SymptomBlows        SymptomWord = "blows" // goes when power comes
	SymptomTrips        SymptomWord = "trips" // shuts down or hiccups
)

// SymptomWords lists every word.
var SymptomWords = []SymptomWord{
	SymptomWorks, SymptomDead, SymptomWeak, SymptomStuckOn, SymptomIntermittent, SymptomHot, SymptomNoisy, SymptomBlows, SymptomTrips,
}

// Symptom is what somebody saw a device do while the machine ran.
type Symptom struct {
	At     time.Time   `json:"at"`
	Device string      `json:"device"`
	Word   SymptomWord `json:"symptom"`
	// When are the conditions, as Conditions.String prints them. They are read
	// against the machine where they are used: one that names what is gone makes
	// the symptom no evidence.
	When   string `json:"conditions"`
	Note   string `json:"note"`
	Struck string `json:"struck"` // why it counts no more; empty: it stands
}

// Stands says whether the symptom is evidence.
func (s Symptom) Stands() bool { return s.Struck == "" }

// Table says which table a symptom belongs to.
func (s Symptom) Table() Table { return TableSymptom }

// ID tells symptoms apart: device, word, conditions and moment.
func (s Symptom) ID() string {
	return s.Device + " " + string(s.Word) + " " + FormatTime(s.At.UTC()) + " " + s.When
}

// Validate returns every complaint about the symptom by itself.
func (s Symptom) Validate() []FieldError {
	var found complaints
	found.reference("device", s.Device)
	found.oneOf("symptom", string(s.Word), words(SymptomWords))
	found.moment("at", s.At)
	if s.At.IsZero() {
		found.add("at", "nothing says when it was seen", "write the day, as in 2026-05-04")
	}
	found.text("conditions", s.When)
	found.text("note", s.Note)
	found.text("struck", s.Struck)
	return found
}

// compareSymptoms orders symptoms as they came.
func compareSymptoms(a, b Symptom) int {
	return cmp.Or(a.At.Compare(b.At), Compare(a.Device, b.Device),
		cmp.Compare(slices.Index(SymptomWords, a.Word), slices.Index(SymptomWords, b.Word)), cmp.Compare(a.When, b.When))
}
