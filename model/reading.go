package model

import (
	"fmt"
	"time"
)

// Mode is the range of the meter.
type Mode string

// The modes of a meter.
const (
	ModeContinuity Mode = "continuity" // value: beep or silent
	ModeOhms       Mode = "ohms"       // value: ohms, leads included, or OL
	ModeDiode      Mode = "diode"      // value: volts or OL, red on the first terminal
	ModeVoltsDC    Mode = "volts-dc"
	ModeVoltsAC    Mode = "volts-ac"
)

// Modes lists every mode.
var Modes = []Mode{ModeContinuity, ModeOhms, ModeDiode, ModeVoltsDC, ModeVoltsAC}

// Volts says whether the range is for a machine that is on; the others are for a
// dead one.
func (m Mode) Volts() bool { return m == ModeVoltsDC || m == ModeVoltsAC }

// Drift says what the value did while the tips stayed on.
type Drift string

// The drifts of a reading. A rising or falling one is a capacitor's and not
// final.
const (
	DriftUnknown Drift = ""
	DriftSteady  Drift = "steady"
	DriftRising  Drift = "rising"
	DriftFalling Drift = "falling"
)

// Final says whether the value stood still, as far as anybody noted.
func (d Drift) Final() bool { return d != DriftRising && d != DriftFalling }

// Reading is one touch of the meter. Nothing of it changes once it is stored,
// but that it may be struck out.
type Reading struct {
	// Number is the reading's own, counted from 1 in the order of storing; 0
	// until it is stored.
	Number int64 `json:"reading"`
	// Stored is its place in the order of edits and readings: an edit whose
	// touches have a higher one came after this reading. It rises with the rows
	// of the journal, and says no more.
	Stored int64 `json:"-"`

	At         time.Time   `json:"at"` // zero: not known
	Red        TerminalRef `json:"red"`
	Black      TerminalRef `json:"black"`
	Mode       Mode        `json:"mode"`
	Value      Value       `json:"value"`
	Drift      Drift       `json:"drift"`
	Conditions Conditions  `json:"conditions"`
	Note       string      `json:"note"`
	Meter      string      `json:"meter"`
	Struck     string      `json:"struck"` // the reason; empty where it stands
}

// Undone is the reason by which an undo strikes out the readings that the edit
// had stored. Such a reading counts as one that was never taken.
const Undone = "undone"

// Stands says whether the reading has not been struck out.
func (r Reading) Stands() bool { return r.Struck == "" }

// SamePair says whether two readings are one row: equal in everything that
// was noted at the bench, whatever number they have and whether or not one was
// struck out since.
func (r Reading) SamePair(other Reading) bool {
	return r.At.Equal(other.At) && r.Red == other.Red && r.Black == other.Black && r.Mode == other.Mode &&
		r.Value == other.Value && r.Drift == other.Drift && r.Conditions.String() == other.Conditions.String() &&
		r.Note == other.Note && r.Meter == other.Meter
}

// Table says which table a reading belongs to.
func (r Reading) Table() Table { return TableReading }

// ID is the reading's number as text.
func (r Reading) ID() string { return fmt.Sprint(r.Number) }

// Validate returns every complaint about the reading by itself.
func (r Reading) Validate() []FieldError {
	var found complaints
	found.moment("at", r.At)
	found.name("red", r.Red.Device)
	found.name("red", r.Red.Mark)
	found.name("black", r.Black.Device)
	found.name("black", r.Black.Mark)
	if r.Red == r.Black {
		found.add("black", fmt.Sprintf("both tips are on %s", r.Red), "write the other terminal")
	}
	found.oneOf("mode", string(r.Mode), words(Modes))
	switch r.Mode {
	case ModeContinuity:
		if r.Value.Kind != ShowsBeep && r.Value.Kind != ShowsSilent {
			found.add("value", fmt.Sprintf("%s is no continuity reading", r.Value), "write beep or silent, or use the mode ohms")
		}
	case ModeOhms, ModeDiode:
		if r.Value.Kind != ShowsNumber && r.Value.Kind != ShowsOL {
			found.add("value", fmt.Sprintf("%s is no reading in mode %s", r.Value, r.Mode), "write a number or OL, or use the mode continuity")
		}
	case ModeVoltsDC, ModeVoltsAC:
		if r.Value.Kind != ShowsNumber {
			mend := "write volts, as in 11.8"
			if r.Value.Kind == ShowsOL {
				mend = "the meter is over its range: choose a higher one, and write what it shows"
			}
			found.add("value", fmt.Sprintf("%s is no voltage", r.Value), mend)
		}
	}
	if r.Value.Kind == ShowsNumber {
		found.finite("value", Known(r.Value.Number))
	}
	found.oneOf("drift", string(r.Drift), []string{"", string(DriftSteady), string(DriftRising), string(DriftFalling)})
	found.text("note", r.Note)
	found.text("meter", r.Meter)
	found.text("struck", r.Struck)
	return found
}

// ValidateNew returns every complaint about a reading that is to be stored: also that
// no meter shows such a value. Files of earlier versions may hold one; there it may be
// struck out.
func (r Reading) ValidateNew() []FieldError {
	found := complaints(r.Validate())
	if problem, mend := r.Value.doubt(r.Mode); problem != "" && r.Stands() {
		found.add("value", problem, mend)
	}
	return found
}
