package probing

import (
	"encoding/json"

	"bellout/model"
)

// Goal is what probing is for.
type Goal string

// The goals. No goal means: locate what is wrong, then map what is missing,
// then verify the rest. Verify proves what no suspicion is about first, and locates
// what is left after that.
const (
	Verify Goal = "verify"
	Locate Goal = "locate"
	Map    Goal = "map"
)

// Goals lists every goal.
var Goals = []Goal{Verify, Locate, Map}

// Probe is one touch of the meter: where the tips go and what is done to the
// machine before.
type Probe struct {
	Red        model.TerminalRef
	Black      model.TerminalRef
	Mode       model.Mode
	Conditions model.Conditions
}

// MarshalJSON writes conditions as the words that a file and --when take.
func (p Probe) MarshalJSON() ([]byte, error) {
	conditions := make([]string, len(p.Conditions))
	for i, condition := range p.Conditions {
		conditions[i] = condition.String()
	}
	return json.Marshal(struct {
		Red        model.TerminalRef `json:"red"`
		Black      model.TerminalRef `json:"black"`
		Mode       model.Mode        `json:"mode"`
		Conditions []string          `json:"conditions"`
	}{p.Red, p.Black, p.Mode, conditions})
}

// Reading returns the reading that the probe gives if the meter shows a value.
func (p Probe) Reading(value model.Value) model.Reading {
	return model.Reading{Red: p.Red, Black: p.Black, Mode: p.Mode, Value: value, Conditions: p.Conditions}
}

// Proposal is the probe worth making now, or that none is.
type Proposal struct {
	Done bool `json:"done"`
	// Probe is nil when Done.
	Probe *Probe `json:"probe"`
	// Why says what the probe is for, what each answer would mean, what to do
	// to the machine before and what to mind; when Done, what is left.
	Why string `json:"why"`
	// GainBits is the expected information, given the priors and the readings.
	GainBits float64 `json:"gain_bits"`
	// Proves are the wires that a good answer would prove; never nil.
	Proves []string `json:"proves"`

	Goal    Goal     `json:"-"` // what this probe is for
	Reason  string   `json:"-"` // Why, without what follows
	Answers []Answer `json:"-"` // what each answer would mean
	Prepare []string `json:"-"` // what to do to the machine before
	Caution string   `json:"-"`
	// Asked are the surprising readings that it is to explain; nil where it searches
	// for nothing.
	Asked []int64 `json:"-"`
	// Live says that none is proposed because of volts that can hurt.
	Live bool `json:"-"`
	// Confirms says that the place is found, and looked at once more.
	Confirms bool `json:"-"`
}

// Answer is one thing the meter may show and what it would mean.
type Answer struct {
	Shows string
	Means string
}
