package judge

import (
	"math"

	"bellout/graphs"
	"bellout/model"
)

// Meter is how a hand-held meter and the person who holds it are modelled: the
// chance of each display, given the resistance between the tips.
//
// All defaults but those of the settings are engineering judgement in the
// ranges of the literature on noisy test outcomes; none is a published value.
type Meter struct {
	BeepBelowOhms float64 // ohms and leads together
	LeadOhms      float64
	JointLimit    float64 // a joint is bad this far above its wires

	BeepSoftness float64 // standard deviation of ln(threshold): meters of one kind differ
	MetalOhms    float64 // standard deviation of a reading of wires and good joints
	PartSpread   float64 // standard deviation of ln(ohms) of a coil, lamp or motor
	OpenOhms     float64 // a display goes over its range about here
	OpenSoftness float64 // standard deviation of ln(OpenOhms)

	GonePart    float64 // a part in the way that is out, off or open and nobody noted it
	MissedTouch float64 // a tip that did not touch: reads open whatever is there
	FalseBeep   float64 // a tip that touched more than it should
	Stray       float64 // a number that belongs to nothing on the map
}

// Limits in ohms by which outcomes are told apart. Common practice, after the
// table of reading classes that bench work goes by.
const (
	// MetalBelowOhms: a steady reading under this, leads off, is metal, whatever
	// electronics lie between.
	MetalBelowOhms = 0.5

	leakAboveOhms    = 1e5  // fingers, damp, leakage: no join, where the map has none
	openAboveOhms    = 2e6  // from here on a display says no DC path, whatever its digits
	partAboveOhms    = 80   // from here on a reading is a part or electronics, no join of nets
	diodeMilliamps   = 1.0  // test current of the diode range
	diodeOpenVolts   = 2.5  // the diode range goes over about here
	diodeLowVolts    = 0.15 // the least forward voltage of a junction (Schottky)
	diodeHiddenVolts = 0.1  // across a part that takes no more than this no junction conducts
	diodeHighVolts   = 1.0  // the most of a silicon junction at 1 mA; light emitting ones show more
	forwardVolts     = 0.6  // typical
	forwardSpread    = 0.25
	partTooFar       = 3.0 // standard deviations at which a part's value contradicts
	likelyEnough     = 0.05
)

// NewMeter returns the meter that a machine's settings describe.
func NewMeter(s model.Settings) Meter {
	return Meter{
		BeepBelowOhms: s.BeepBelowOhms, LeadOhms: s.LeadOhms, JointLimit: s.JointLimitOhms,
		BeepSoftness: 0.3, MetalOhms: math.Max(s.JointLimitOhms/4, 0.02), PartSpread: 0.2,
		OpenOhms: 4e7, OpenSoftness: 0.5,
		GonePart: 0.1, MissedTouch: 0.01, FalseBeep: 0.001, Stray: 0.002,
	}
}

// phi is the standard normal distribution function.
func phi(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// Beeps returns the chance that the meter sounds at a resistance in ohms.
func (m Meter) Beeps(ohms float64) float64 {
	return (1 - m.MissedTouch) * ((1-m.FalseBeep)*m.beepsAt(ohms) + m.FalseBeep)
}

// beepsAt is Beeps without the errors of touch.
func (m Meter) beepsAt(ohms float64) float64 {
	if math.IsInf(ohms, 1) {
		return 0
	}
	return phi(math.Log(m.BeepBelowOhms/math.Max(ohms+m.LeadOhms, 1e-6)) / m.BeepSoftness)
}

// showsOpen says whether a display in ohms says that there is no DC path: OL,
// or more than any part of a machine has.
func showsOpen(r model.Reading) bool {
	return r.Value.Kind == model.ShowsOL || r.Mode == model.ModeOhms && r.Value.Kind == model.ShowsNumber && r.Value.Number >= openAboveOhms
}

// OpenWay says whether a reading shows that no direct current flows between its
// tips: OL, silence, or a number of ohms that only damp and fingers give.
func OpenWay(r model.Reading) bool { return r.Value.Kind == model.ShowsSilent || showsOpen(r) }

// overRange returns the chance that the display shows OL at a resistance,
// without errors of touch.
func (m Meter) overRange(ohms float64) float64 {
	if math.IsInf(ohms, 1) {
		return 1
	}
	if ohms <= 0 {
		return 0
	}
	return phi(math.Log(ohms/m.OpenOhms) / m.OpenSoftness)
}

// spread returns the standard deviation of a reading in ohms.
func (m Meter) spread(ohms float64, metal bool) float64 {
	if metal {
		return math.Hypot(m.MetalOhms, 0.05*ohms)
	}
	return math.Hypot(m.MetalOhms, m.PartSpread*ohms)
}

// Observed is what a meter between two tips faces: the resistance, and whether
// metal alone joins the tips.
type Observed struct {
	graphs.Prediction
	Metal bool // the tips are of one net
	// Round: what is faced leads round a break, through parts that the reading
	// was not meant for and that may be out or off without a note.
	Round bool
}

// Decided says whether nothing undecided can change what the meter shows.
func (s Observed) Decided() bool {
	return s.LeastOhms == s.Ohms || !math.IsInf(s.Ohms, 1) && s.Ohms-s.LeastOhms <= 1e-6*s.Ohms
}

// Likelihood returns how likely a reading of continuity, ohms or the diode
// range is when its tips face a resistance: a probability for displays that are
// words, a density per ohm for numbers. Compare it only with that of the same
// reading under another hypothesis. 1 for what is no evidence of conduction.
func (m Meter) Likelihood(r model.Reading, s Observed) float64 {
	if !Evidence(r) {
		return 1
	}
	switch r.Mode {
	case model.ModeContinuity:
		p := m.beepChance(s)
		if r.Value.Kind == model.ShowsSilent {
			return 1 - p
		}
		return p
	case model.ModeDiode:
		return m.diodeLikelihood(r, s)
	default:
		return m.ohmsLikelihood(r, s)
	}
}

// Chances of what electronics show, where they could show anything.
const (
	electronicsOpen = 0.6  // nothing at a meter's small voltage
	electronicsBeep = 0.15 // few inputs read under 30 ohm
)

func (m Meter) beepChance(s Observed) float64 {
	p := m.beepsAt(s.Ohms)
	if s.Round {
		p *= 1 - m.GonePart
	}
	if !s.Decided() {
		least := m.beepsAt(s.LeastOhms)
		p += (least - p) * electronicsBeep
	}
	return (1 - m.MissedTouch) * ((1-m.FalseBeep)*p + m.FalseBeep)
}

func (m Meter) ohmsLikelihood(r model.Reading, s Observed) float64 {
	open := m.overRange(s.Ohms)
	if r.Value.Kind == model.ShowsOL {
		if s.Round {
			open += (1 - open) * m.GonePart
		}
		if !s.Decided() {
			open *= electronicsOpen
		}
		if math.IsInf(s.Ohms, 1) {
			open *= 1 - damp
		}
		return open*(1-m.MissedTouch) + m.MissedTouch
	}
	x := math.Max(r.Value.Number-m.LeadOhms, 0)
	density := m.numberDensity(x, s.Ohms, s.Metal) * (1 - open)
	switch {
	case math.IsInf(s.Ohms, 1):
		density = damp * dampDensity(x)
	case s.Round:
		density += (damp*dampDensity(x) - density) * m.GonePart
	}
	if !s.Decided() {
		if showsOpen(r) {
			density *= electronicsOpen
		} else {
			between := m.betweenShare(s)
			density = (1-between)*density + between*m.betweenDensity(x, s)
		}
	}
	return (1-m.MissedTouch)*((1-m.Stray)*density+m.Stray*strayDensity(x)) + 1e-300
}

// damp is the chance that a range of some Mohm shows fingers, damp or leakage
// where no path is. Judgement.
const damp = 0.1

// dampDensity spreads evenly over the logarithm from 2 Mohm to 1 Gohm.
func dampDensity(x float64) float64 {
	if x < openAboveOhms*0.999 || x > 1e9 {
		return 0
	}
	return 1 / (x * math.Log(1e9/openAboveOhms))
}

func (m Meter) numberDensity(x, ohms float64, metal bool) float64 {
	if math.IsInf(ohms, 1) {
		return 0
	}
	sigma := m.spread(ohms, metal)
	if !metal && ohms > 2 && x > 0 {
		// a part's value spreads by a factor, not by ohms
		z := math.Log(x/ohms) / math.Hypot(m.PartSpread, m.MetalOhms/ohms)
		return math.Exp(-z*z/2) / (x * math.Hypot(m.PartSpread, m.MetalOhms/ohms) * math.Sqrt(2*math.Pi))
	}
	// folded at zero: what would read below nothing after the leads reads above
	z, folded := (x-ohms)/sigma, (x+ohms)/sigma
	return (math.Exp(-z*z/2) + math.Exp(-folded*folded/2)) / (sigma * math.Sqrt(2*math.Pi))
}

// electronicsConduct is the chance that electronics show something in ohms.
const electronicsConduct = 0.6

// betweenShare is the chance that undecided elements move what a meter shows by
// a noticeable amount: what they conduct is spread evenly over its logarithm,
// and little of that counts beside parts of a few ohms.
func (m Meter) betweenShare(s Observed) float64 {
	low, high := m.between(s)
	if high <= low {
		return 0
	}
	return electronicsConduct * math.Log(high/low*betweenSlack) / math.Log(m.OpenOhms/math.Min(low, m.OpenOhms)*betweenSlack)
}

// betweenSlack widens what undecided elements may show by the tolerance of the
// parts beside them.
const betweenSlack = 1.5625

func (m Meter) between(s Observed) (low, high float64) {
	return math.Max(s.LeastOhms, MetalBelowOhms), math.Min(s.Ohms, m.OpenOhms)
}

// betweenDensity spreads evenly over the logarithm of what undecided elements
// may show. They never show metal.
func (m Meter) betweenDensity(x float64, s Observed) float64 {
	low, high := m.between(s)
	if x < math.Max(low*0.8, MetalBelowOhms) || x > high*1.25 || high <= low {
		return 0
	}
	return 1 / (x * math.Log(high/low*betweenSlack))
}

// strayDensity spreads evenly over the logarithm from 0.05 ohm to 10 Mohm.
func strayDensity(x float64) float64 {
	return 1 / ((x + 0.05) * math.Log(1e7/0.05))
}

func (m Meter) diodeLikelihood(r model.Reading, s Observed) float64 {
	volts := s.Ohms * diodeMilliamps / 1000
	open := 0.0
	if volts > diodeOpenVolts {
		open = 1
	}
	if r.Value.Kind == model.ShowsOL {
		if !s.Decided() {
			open *= electronicsOpen
		}
		return open*(1-m.MissedTouch) + m.MissedTouch
	}
	density := 0.0
	if open == 0 {
		sigma := math.Hypot(0.01, m.PartSpread*volts)
		z := (r.Value.Number - volts) / sigma
		density = math.Exp(-z*z/2) / (sigma * math.Sqrt(2*math.Pi))
	}
	if !s.Decided() && volts > diodeHiddenVolts {
		z := (r.Value.Number - forwardVolts) / forwardSpread
		density = 0.4*density + 0.6*math.Exp(-z*z/2)/(forwardSpread*math.Sqrt(2*math.Pi))
	}
	return (1-m.MissedTouch)*((1-m.Stray)*density+m.Stray/diodeOpenVolts) + 1e-300
}

// Evidence says whether a reading tells anything of conduction: it stands, its
// value is final, and it was taken in a range that looks for a path.
func Evidence(r model.Reading) bool {
	if !r.Stands() || !r.Drift.Final() {
		return false
	}
	switch r.Mode {
	case model.ModeContinuity:
		return true
	case model.ModeOhms, model.ModeDiode:
		return r.Value.Kind == model.ShowsOL || r.Value.Number >= 0
	default:
		return false
	}
}
