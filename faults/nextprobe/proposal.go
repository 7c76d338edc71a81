package nextprobe

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
	// Probe is nil when Done, and where a look is asked for.
	Probe *Probe `json:"probe"`
	// Ask is a device to look at, nil where the meter is asked.
	Ask *Ask `json:"ask"`
	// Why says what the probe is for, what each answer would mean, what to do
	// to the machine before and what to mind; when Done, what is left.
	Why string `json:"why"`
	// GainBits is the expected information, given the priors and the readings.
	GainBits float64 `json:"gain_bits"`
	// Seconds is what it costs, about.
	Seconds float64 `json:"seconds"`
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

// MarshalJSON leaves out what the proposal does not have: of a look the probe and
// what it proves, of a probe the look.
func (r Proposal) MarshalJSON() ([]byte, error) {
	if r.Ask != nil {
		return json.Marshal(struct {
			Done     bool    `json:"done"`
			Ask      *Ask    `json:"ask"`
			Why      string  `json:"why"`
			GainBits float64 `json:"gain_bits"`
			Seconds  float64 `json:"seconds"`
		}{r.Done, r.Ask, r.Why, r.GainBits, r.Seconds})
	}
	return json.Marshal(struct {
		Done     bool     `json:"done"`
		Probe    *Probe   `json:"probe"`
		Why      string   `json:"why"`
		GainBits float64  `json:"gain_bits"`
		Seconds  float64  `json:"seconds,omitempty"`
		Proves   []string `json:"proves"`
	}{r.Done, r.Probe, r.Why, r.GainBits, r.Seconds, r.Proves})
}

// Answer is one thing the meter may show and what it would mean.
type Answer struct {
	Shows string
	Means string
}
