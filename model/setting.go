package model

import (
	"fmt"
	"slices"
	"strings"
)

// Setting is one row of settings: a key that Bellout knows, and its value.
type Setting struct {
	Key   string `json:"key"`
	Value string `json:"value"`
}

// The keys of settings.
const (
	KeyBeepBelowOhm     = "beep_below_ohm"
	KeyLeadOhm          = "lead_ohm"
	KeyJointLimitOhm    = "joint_limit_ohm"
	KeyDropLimitPercent = "drop_limit_percent"
	KeySupplyUsePercent = "supply_use_limit_percent"
	KeyAmbientC         = "ambient_c"
	KeyAmpacity         = "ampacity"
)

// Settings are the numbers by which a machine is judged.
type Settings struct {
	BeepBelowOhms         float64 // a meter beeps when ohms and leads together lie below this
	LeadOhms              float64 // what the leads add to every stored ohms value
	JointLimitOhms        float64 // a joint is bad when it reads this far above what the wires explain
	DropLimitPercent      float64 // of the load's own volts, out and back
	SupplyUseLimitPercent float64 // of a supply's limit
	AmbientCelsius        float64
	Ampacity              string // a table of ampacity.csv; empty: FAA Table 11-3 and IEC 60204-1 Table 6, column B2
}

// DefaultSettings are those of a file that says nothing.
func DefaultSettings() Settings {
	return Settings{
		BeepBelowOhms: 30, LeadOhms: 0.2, JointLimitOhms: 1.0, DropLimitPercent: 3,
		SupplyUseLimitPercent: 80, AmbientCelsius: 20,
	}
}

// numeric points at the number that a key sets, with its range.
func (s *Settings) numeric(key string) (number *float64, low, high float64) {
	switch key {
	case KeyBeepBelowOhm:
		return &s.BeepBelowOhms, 0, 1e6
	case KeyLeadOhm:
		return &s.LeadOhms, 0, 1e3
	case KeyJointLimitOhm:
		return &s.JointLimitOhms, 0, 1e6
	case KeyDropLimitPercent:
		return &s.DropLimitPercent, 0, 100
	case KeySupplyUsePercent:
		return &s.SupplyUseLimitPercent, 0, 100
	case KeyAmbientC:
		return &s.AmbientCelsius, -90, 200
	}
	return nil, 0, 0
}

// SettingKeys lists every key, in the order of the README.
var SettingKeys = []string{
	KeyBeepBelowOhm, KeyLeadOhm, KeyJointLimitOhm, KeyDropLimitPercent, KeySupplyUsePercent, KeyAmbientC, KeyAmpacity,
}

// Table says which table a setting belongs to.
func (s Setting) Table() Table { return TableSetting }

// ID is the setting's key.
func (s Setting) ID() string { return s.Key }

// Validate returns every complaint about the setting by itself.
func (s Setting) Validate() []FieldError {
	var found complaints
	if !slices.Contains(SettingKeys, s.Key) {
		found.add("key", fmt.Sprintf("unknown setting %q", s.Key), "write one of "+strings.Join(SettingKeys, ", "))
		return found
	}
	found.text("value", s.Value)
	var scratch Settings
	if number, low, high := scratch.numeric(s.Key); number != nil {
		value, err := ParseNumber(s.Value)
		if err != nil {
			found.add("value", err.Error(), "")
		} else if value < low || value > high {
			found.add("value", fmt.Sprintf("%s is out of range", s.Value),
				fmt.Sprintf("write a number from %s to %s", FormatNumber(low), FormatNumber(high)))
		}
	}
	return found
}

// Settings returns the numbers by which this machine is judged: the defaults,
// but for the rows that the file holds.
func (m *Machine) Settings() Settings {
	settings := DefaultSettings()
	for _, row := range m.SettingRows {
		if row.Key == KeyAmpacity {
			settings.Ampacity = row.Value
		} else if number, _, _ := settings.numeric(row.Key); number != nil {
			if value, err := ParseNumber(row.Value); err == nil {
				*number = value
			}
		}
	}
	return settings
}
