package diagnosis

import (
	"fmt"

	"bellout/graphs"
	"bellout/model"
)

// Evidence is one thing that somebody measured or saw.
type Evidence interface {
	// Log is the logarithm of how likely it is under a set of hypotheses; the
	// empty set is the machine as the map says.
	Log(set []Hypothesis) float64
	// Propose adds what could explain it.
	Propose(p *proposer)
	String() string
}

// Reading is volts of the running machine.
type Reading struct {
	l          *Live
	Reading    model.Reading
	red, black int
}

// NewReading returns a reading of volts as evidence; false where its tips are
// not on the map or it has no number.
func (l *Live) NewReading(r model.Reading) (*Reading, bool) {
	red, knownRed := l.Circuit.Machine.TerminalIndex(r.Red)
	black, knownBlack := l.Circuit.Machine.TerminalIndex(r.Black)
	ok := live(r.Mode) && knownRed && knownBlack && r.Value.Kind == model.ShowsNumber
	return &Reading{l, r, red, black}, ok
}

func (r *Reading) String() string {
	return fmt.Sprintf("%s %s-%s %s", r.Reading.Mode, r.Reading.Red, r.Reading.Black, r.Reading.Value)
}

// Log is the density of the number shown.
func (r *Reading) Log(set []Hypothesis) float64 {
	state := r.l.Run(r.Reading.Conditions, set...)
	if r.Reading.Mode == model.ModeVoltsAC {
		volts := r.l.rippleAt(r.red, r.black, state, set)
		rail := state.Between(r.red, r.black)
		return RippleLog(r.Reading.Value.Number, volts, rail)
	}
	return VoltsLog(r.Reading.Value.Number, state.Between(r.red, r.black), state.Ohms(r.red, r.black), r.l.scale())
}

// Surprises says whether the sound machine, as the hypotheses see it, shows something
// else.
func (r *Reading) Surprises() bool { return r.Log(nil) < mostLog(r)-unlikely }

// Propose adds what lies on the way between the tips.
func (r *Reading) Propose(p *proposer) {
	if r.Reading.Mode == model.ModeVoltsAC {
		p.ripple(r.red, r.black, r.Reading.Conditions)
		return
	}
	p.between(r.red, r.black, r.Reading.Conditions, 0)
	if at := r.l.supplyOn(r.red, r.black); at >= 0 {
		p.supply(at, r.Reading.Conditions, 0)
	}
}

// Symptom is what a device does.
type Symptom struct {
	l          *Live
	Device     string
	Word       Word
	Conditions model.Conditions
}

// NewSymptom returns a symptom as evidence; false where the map does not know
// what the device would need.
func (l *Live) NewSymptom(device string, word Word, conditions model.Conditions) (*Symptom, bool) {
	s := &Symptom{l, device, word, conditions}
	_, known := l.ratio(device, l.Run(conditions), nil)
	return s, known
}

func (s *Symptom) String() string { return s.Device + " " + string(s.Word) }

// Log is the chance that somebody says the word.
func (s *Symptom) Log(set []Hypothesis) float64 {
	state := s.l.Run(s.Conditions, set...)
	ratio, known := s.l.ratio(s.Device, state, set)
	if !known {
		return 0
	}
	sound, _ := s.l.ratio(s.Device, s.l.Run(s.Conditions), nil)
	var t troubles
	for _, h := range set {
		t.joint = t.joint || h.Kind == ElementHigh || h.Kind == ElementOpen
		t.ripple = t.ripple || h.Kind == SupplyRipple
		t.overFuse = t.overFuse || h.Blown >= 0
	}
	t.limiting = len(state.Limiting) > 0
	return SymptomLog(s.Word, ratio, sound, t)
}

// Propose adds what the device needs to work, and the device itself.
func (s *Symptom) Propose(p *proposer) {
	p.own(s.Device)
	for _, at := range s.l.loads[s.Device] {
		if load := &s.l.net.Parts.Loads[at]; len(load.Returns) > 0 {
			p.between(load.Feed, load.Returns[0], s.Conditions, 0)
		}
	}
}

// ways are the blocks of everything that a builder would follow.
func (l *Live) ways() *graphs.Blocks {
	if l.walks == nil {
		l.walks = l.Circuit.Blocks(func(e graphs.Element) bool { return e.Walks() })
	}
	return l.walks
}
