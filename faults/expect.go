package faults

import (
	"encoding/json"
	"fmt"
	"math"
	"sync"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// Expectation is what a good machine shows between two terminals, and through
// what.
type Expectation struct {
	Mode  model.Mode
	Ohms  float64        // +Inf where nothing joins them; of continuity, ohms and diode
	Volts model.Optional // of volts-dc and diode
	Shows string         // beep or silent; of diode and volts-dc what the display shows
	// Known is false where an electronic link, a diode or a capacitor could
	// change what the meter shows.
	Known bool
	// Through are the terminals on the way of most current, both ends included.
	Through []model.TerminalRef
	// Words say the same in a sentence.
	Words string
}

// MarshalJSON writes what the README says of expect.
func (x Expectation) MarshalJSON() ([]byte, error) {
	through := x.Through
	if through == nil {
		through = []model.TerminalRef{}
	}
	ohm := model.Known(x.Ohms)
	if math.IsInf(x.Ohms, 1) {
		ohm = model.Optional{}
	}
	switch x.Mode {
	case model.ModeVoltsDC, model.ModeVoltsAC:
		return json.Marshal(struct {
			Mode    model.Mode          `json:"mode"`
			Volt    model.Optional      `json:"volt"`
			Shows   string              `json:"shows"`
			Known   bool                `json:"known"`
			Through []model.TerminalRef `json:"through"`
		}{x.Mode, x.Volts, x.Shows, x.Known, through})
	case model.ModeDiode:
		return json.Marshal(struct {
			Mode    model.Mode          `json:"mode"`
			Ohm     model.Optional      `json:"ohm"`
			Volt    model.Optional      `json:"volt"`
			Shows   string              `json:"shows"`
			Known   bool                `json:"known"`
			Through []model.TerminalRef `json:"through"`
		}{x.Mode, ohm, x.Volts, x.Shows, x.Known, through})
	default:
		return json.Marshal(struct {
			Mode    model.Mode          `json:"mode"`
			Ohm     model.Optional      `json:"ohm"`
			Shows   string              `json:"shows"`
			Known   bool                `json:"known"`
			Through []model.TerminalRef `json:"through"`
		}{x.Mode, ohm, x.Shows, x.Known, through})
	}
}

// Expect says what a good machine shows between two terminals under
// conditions. Error: a terminal that the machine does not have, or a mode in
// which nothing can be expected.
func Expect(m *model.Machine, red, black model.TerminalRef, mode model.Mode, conditions model.Conditions) (Expectation, error) {
	return NewExpecter(m).Expect(red, black, mode, conditions)
}

// Expecter is for whoever asks what a good machine shows again and again: it lays
// the machine's circuit out once. It is right as long as the map is not edited;
// readings change nothing in it. It may be used by several goroutines.
type Expecter struct {
	machine *model.Machine
	mutex   sync.Mutex
	judge   *judge.Judge // nil until it is needed; it keeps what it worked out
}

// NewExpecter returns one for a machine. It costs nothing before the first
// question.
func NewExpecter(m *model.Machine) *Expecter { return &Expecter{machine: m} }

// Expect is the function Expect for the machine.
func (e *Expecter) Expect(red, black model.TerminalRef, mode model.Mode, conditions model.Conditions) (Expectation, error) {
	m := e.machine
	for _, ref := range [2]model.TerminalRef{red, black} {
		if err := m.CheckTerminal(ref); err != nil {
			return Expectation{}, err
		}
	}
	if red == black {
		return Expectation{}, fmt.Errorf("both tips are on %s; name two terminals", red)
	}
	a, _ := m.TerminalIndex(red)
	b, _ := m.TerminalIndex(black)
	e.mutex.Lock()
	defer e.mutex.Unlock()
	if e.judge == nil {
		e.judge = judge.New(graphs.NewCircuit(m, nil))
	}
	j := e.judge
	x := Expectation{Mode: mode, Ohms: math.Inf(1)}
	switch mode {
	case model.ModeVoltsDC:
		x.Volts = j.Volts(a, b, conditions)
		x.Known = x.Volts.Known
		x.Shows = "nothing that the map fixes"
		if x.Known {
			x.Shows = fmt.Sprintf("%s V", model.MeterFigures(x.Volts.Value))
		}
		x.Words = fmt.Sprintf("The running machine shows %s from %s to %s.", x.Shows, red, black)
		if j.OnMains(a) || j.OnMains(b) {
			x.Shows = "mains: no live probe"
			x.Words = fmt.Sprintf("Nothing is expected from %s to %s on a machine that is on: the mains side. Pull the plug, prove it dead, and read ohms; mains volts are for licensed people.", red, black)
		}
		return x, nil
	case model.ModeVoltsAC:
		return Expectation{}, fmt.Errorf("nothing can be expected in mode %s; use volts-dc, ohms, continuity or diode", mode)
	}
	sight := j.Sight(a, b, conditions)
	x.Ohms = sight.Ohms
	for _, t := range j.View(conditions).Through(a, b) {
		x.Through = append(x.Through, j.Rest.Ref(t))
	}
	x.Shows, x.Known = j.Meter.Shows(mode, sight)
	if mode == model.ModeDiode {
		x.Volts = j.Meter.DiodeVolts(sight)
	}
	x.Words = j.Expected(model.Reading{Red: red, Black: black, Mode: mode, Conditions: conditions}, sight, a, b)
	return x, nil
}
