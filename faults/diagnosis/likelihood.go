package diagnosis

import (
	"math"

	"bellout/graphs"
	"bellout/model"
)

var inf = math.Inf(1)

// Figures of the likelihoods. The meter's are common practice (1 % and two
// digits), the rest is judgement.
const (
	sourceTolerance = 0.05 // of a supply's volts, as a standard deviation twice over
	meterTolerance  = 0.01
	meterDigitsV    = 0.02
	loadUnknown     = 0.3   // of a drop: what loads draw is known so well
	slip            = 0.03  // a tip on the wrong place, a digit misread, a wrong word
	floatingOhms    = 1e5   // from here on what a meter shows is what the meter makes
	ghostVolts      = 0.5   // the mean of what a floating terminal shows
	usualRipple     = 0.003 // of a rail's volts
	rippleSpread    = 1.0   // standard deviation of its logarithm
)

// VoltsLog returns the logarithm of the density of a reading of direct volts
// where the network has predicted volts behind some ohms; scale is the highest
// volts that the machine has.
func VoltsLog(shown, predicted, ohms, scale float64) float64 {
	broad := 1 / (3 * scale)
	if ohms >= floatingOhms {
		ghost := math.Exp(-math.Abs(shown)/ghostVolts) / (2 * ghostVolts)
		return math.Log(0.6*ghost + 0.4*broad)
	}
	spread := math.Hypot(math.Hypot(sourceTolerance/2, meterTolerance)*predicted, meterDigitsV+0.004*scale)
	z := (shown - predicted) / spread
	return math.Log((1-slip)*math.Exp(-z*z/2)/(spread*math.Sqrt(2*math.Pi)) + slip*broad)
}

// RippleLog is VoltsLog for alternating volts on a rail of so many volts.
func RippleLog(shown, predicted, rail float64) float64 {
	expected := math.Max(predicted, usualRipple*math.Abs(rail))
	z := math.Log(math.Max(shown, 0.001)/math.Max(expected, 0.001)) / rippleSpread
	if predicted == 0 && z < 0 {
		z = 0 // less ripple than usual is as good
	}
	return math.Log((1-slip)*math.Exp(-z*z/2)/(rippleSpread*math.Sqrt(2*math.Pi)) + slip/8)
}

// Word is what a device does.
type Word string

// The words of contract and trade.
const (
	Works        Word = "works"
	Dead         Word = "dead"
	Weak         Word = "weak"
	StuckOnWord  Word = "stuck-on"
	Intermittent Word = "intermittent"
	Hot          Word = "hot"
	Noisy        Word = "noisy"
	Blows        Word = "blows"
	Trips        Word = "trips"
)

// edges of what a device does, by the ratio of its volts to its own.
const (
	deadBelow  = 0.3
	weakBelow  = 0.85
	edgeSpread = 0.05
)

func sigmoid(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

// does returns the chances that a device is dead, weak or works at a ratio of
// its volts to its own.
func does(ratio float64) (dead, weak, works float64) {
	dead = sigmoid((deadBelow - ratio) / edgeSpread)
	works = sigmoid((ratio - weakBelow) / edgeSpread)
	return dead, math.Max(0, 1-dead-works), works
}

// SymptomLog returns the logarithm of the chance that somebody says the word of
// a device at a ratio of its volts to its own; commanded is the same ratio in
// the sound machine under the same conditions.
func SymptomLog(word Word, ratio, commanded float64, trouble troubles) float64 {
	dead, weak, works := does(ratio)
	chance := 0.0
	switch word {
	case Dead:
		chance = dead
	case Weak:
		chance = weak + 0.1*works*b2f(trouble.limiting)
	case Works:
		chance = works
		if commanded < deadBelow {
			chance = dead // on command it would; now it is off, as it should be
		}
	case StuckOnWord:
		if commanded < deadBelow {
			chance = works + weak
		}
	case Intermittent:
		chance = 0.02 + 0.3*b2f(trouble.joint) + 0.2*b2f(trouble.limiting)
	case Hot:
		chance = 0.05 + 0.3*b2f(ratio > 1.15)
	case Noisy:
		chance = 0.02 + 0.4*b2f(trouble.ripple)
	case Trips:
		chance = 0.01 + 0.9*b2f(trouble.limiting)
	case Blows:
		chance = 0.01 + 0.9*b2f(trouble.overFuse)
	}
	return math.Log((1-slip)*chance + wrongWord[word])
}

// wrongWord is the chance of a word whatever the device does: nobody begins a
// search at a device that works, and somebody overlooks one that is dimmer.
// Judgement.
var wrongWord = map[Word]float64{
	Dead: 0.0005, Weak: 0.01, Works: 0.02, StuckOnWord: 0.001, Intermittent: 0.005, Hot: 0.01, Noisy: 0.01, Blows: 0.001, Trips: 0.001,
}

// troubles are what a set of hypotheses brings besides volts.
type troubles struct{ joint, ripple, limiting, overFuse bool }

func b2f(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// ratio returns a device's volts over its own, the least of its feeds; false
// where it has none that is known.
func (l *Live) ratio(device string, state *graphs.PowerState, set []Hypothesis) (float64, bool) {
	least, known := inf, false
	for _, at := range l.loads[device] {
		load := &l.net.Parts.Loads[at]
		if !load.Volts.Known || load.Volts.Value == 0 || len(load.Returns) == 0 {
			continue
		}
		ratio := state.Between(load.Feed, load.Returns[0]) / load.Volts.Value
		for _, h := range set {
			if (h.Kind == LoadOpen || h.Kind == LoadShort) && h.At == load.Feed {
				ratio = 0 // it does nothing, whatever it gets
			}
		}
		if ratio < least {
			least, known = ratio, true
		}
	}
	return least, known
}

// scale returns the highest volts of a machine's supplies, 5 at least.
func (l *Live) scale() float64 {
	most := 5.0
	for _, supply := range l.net.Parts.Supplies {
		most = math.Max(most, math.Abs(supply.Volts.Or(0)))
	}
	return most
}

// supplyOn returns the supply whose rail and return two terminals sit on; -1.
func (l *Live) supplyOn(red, black int) int {
	nets := l.Circuit.Nets()
	for at, supply := range l.net.Parts.Supplies {
		for _, back := range supply.Returns {
			if nets.Same(red, supply.Rail) && nets.Same(black, back) || nets.Same(black, supply.Rail) && nets.Same(red, back) {
				return at
			}
		}
	}
	return -1
}

// rippleAt returns the alternating volts between two terminals if supplies
// ripple as the set says.
func (l *Live) rippleAt(red, black int, state *graphs.PowerState, set []Hypothesis) float64 {
	sum := 0.0
	for _, h := range set {
		if h.Kind != SupplyRipple {
			continue
		}
		for at, supply := range l.net.Parts.Supplies {
			if supply.Rail == h.At {
				sum = math.Hypot(sum, math.Abs(h.Size*supply.Volts.Or(0)*state.Ripple(at, red, black)))
			}
		}
	}
	return sum
}

// reading tells whether a reading is of the running machine.
func live(mode model.Mode) bool { return mode == model.ModeVoltsDC || mode == model.ModeVoltsAC }
