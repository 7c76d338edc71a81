package model

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// TerminalRef names one terminal: the device's reference and the terminal's
// mark. ParseTerminalRef and String undo each other.
type TerminalRef struct {
	Device string
	Mark   string
}

// ParseTerminalRef reads DEVICE:MARK, as in "G1:+". A leading "-" of
// IEC 81346 is not written.
func ParseTerminalRef(text string) (TerminalRef, error) {
	device, mark, found := strings.Cut(text, ":")
	if !found {
		return TerminalRef{}, fmt.Errorf("%q is no terminal; write DEVICE:TERMINAL, as in G1:+", text)
	}
	if err := checkReference(device); errors.Is(err, errPrefix) {
		return TerminalRef{}, fmt.Errorf("%q is no terminal: the device %w; write %s without the leading -", text, err, unprefixed(device))
	} else if err != nil {
		return TerminalRef{}, fmt.Errorf("%q is no terminal: the device %w", text, err)
	}
	if err := checkName(mark); err != nil {
		return TerminalRef{}, fmt.Errorf("%q is no terminal: the mark %w", text, err)
	}
	return TerminalRef{Device: device, Mark: mark}, nil
}

// String prints the reference as ParseTerminalRef reads it; the zero value is
// the empty string.
func (r TerminalRef) String() string {
	if r == (TerminalRef{}) {
		return ""
	}
	return r.Device + ":" + r.Mark
}

// MarshalText and UnmarshalText keep a reference one word in JSON.
func (r TerminalRef) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads what MarshalText wrote.
func (r *TerminalRef) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*r = TerminalRef{}
		return nil
	}
	ref, err := ParseTerminalRef(string(text))
	if err != nil {
		return err
	}
	*r = ref
	return nil
}

// Role says what a terminal is for; the rules look at it before the device's
// kind.
type Role string

// The roles of a terminal. RoleUnknown is an empty cell: the terminal is mapped,
// what it is for is not.
const (
	RoleUnknown Role = ""
	RoleLine    Role = "line"
	RoleNeutral Role = "neutral"
	RoleEarth   Role = "earth"
	RoleRail    Role = "rail"   // a supply's output; has volts
	RoleReturn  Role = "return" // the 0 V side, of a supply or of a load
	RoleFeed    Role = "feed"   // a load's supply input; has volts
	RoleDrive   Role = "drive"  // a switched driver output
	RoleSignal  Role = "signal"
	RolePass    Role = "pass" // a way through: connector, block, fuse, switch
)

// Roles lists every role, in the order in which help and errors name them.
var Roles = []Role{RoleLine, RoleNeutral, RoleEarth, RoleRail, RoleReturn, RoleFeed, RoleDrive, RoleSignal, RolePass}

// Terminal is one point a probe can touch.
type Terminal struct {
	Device string `json:"device"`
	Mark   string `json:"terminal"`
	Role   Role   `json:"role"`

	// Volts is the nominal voltage of a rail (against its supply's return) or of
	// a feed; unknown elsewhere.
	Volts Optional `json:"volts"`
	// MinVolts and MaxVolts are what a feed stands, and within what a rail is kept.
	// Unknown means a Tolerance either way: see Limits.
	MinVolts Optional `json:"min_v"`
	MaxVolts Optional `json:"max_v"`
	// Section names a galvanically separate part of the device; empty means that
	// the whole device is one.
	Section string `json:"section"`
}

// Ref returns the terminal's reference.
func (t Terminal) Ref() TerminalRef { return TerminalRef{Device: t.Device, Mark: t.Mark} }

// Tolerance is how far the volts of a feed or a rail may lie from their nominal
// value where no limits of their own are given (common practice).
const Tolerance = 0.1

// Limits returns the lowest and highest volts that the terminal stands,
// lowest first even where the volts are negative. A limit that is neither
// given nor follows from Volts is not Known.
func (t Terminal) Limits() (minVolts, maxVolts Optional) {
	minVolts, maxVolts = t.MinVolts, t.MaxVolts
	if t.Volts.Known {
		margin := Tolerance * math.Abs(t.Volts.Value)
		low, high := toFigures(t.Volts.Value-margin, 9), toFigures(t.Volts.Value+margin, 9) // a tenth of 48 is no tenth in binary
		if !minVolts.Known {
			minVolts = Known(low)
		}
		if !maxVolts.Known {
			maxVolts = Known(high)
		}
	}
	return minVolts, maxVolts
}

// Table says which table a terminal belongs to.
func (t Terminal) Table() Table { return TableTerminal }

// ID is the terminal's reference as text.
func (t Terminal) ID() string { return t.Ref().String() }

// Validate returns every complaint about the terminal by itself.
func (t Terminal) Validate() []FieldError {
	var found complaints
	found.reference("device", t.Device)
	found.ownName("terminal", t.Mark)
	if t.Role != RoleUnknown {
		found.oneOf("role", string(t.Role), words(Roles))
	}
	found.finite("volts", t.Volts)
	found.finite("min_v", t.MinVolts)
	found.finite("max_v", t.MaxVolts)
	if t.MinVolts.Known && t.MaxVolts.Known && t.MinVolts.Value > t.MaxVolts.Value {
		found.add("min_v", fmt.Sprintf("%s is above max_v %s", t.MinVolts, t.MaxVolts), "exchange the two, or correct one")
	}
	found.text("section", t.Section)
	return found
}
