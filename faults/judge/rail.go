package judge

import (
	"math"
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// RailVerdict says how volts across a rail stand to what they should be.
type RailVerdict uint8

// The verdicts.
const (
	RailUnknown  RailVerdict = iota // not across a rail
	RailOff                         // the map has it off, or in another way than its limits say
	RailGood                        // within the limits
	RailHigh                        // above them
	RailLow                         // below them
	RailDead                        // next to nothing
	RailReversed                    // of the wrong sign
	RailRipple                      // AC on a DC rail
)

const (
	// deadShare is the part of a rail's volts below which it gives nothing.
	// Engineering judgement: a supply that hiccups shows more on a meter.
	deadShare = 0.1
	// RippleShare is the part of a rail's volts that its AC may be. Common practice;
	// the same as ripple-percent of assets/causes/verdict.csv.
	RippleShare = 0.01
	// notRipple is the part of the volts from which on AC is hardly ripple: a full
	// wave without any capacitor has 0.48 of its mean (from memory).
	notRipple = 0.5
	// batteryLow and batteryHigh are the parts of a battery's nominal volts between
	// which it is discharged and charged in use, where the map gives no limits of its
	// own: from a lithium cell at its end to a lead cell on its charger. From memory.
	batteryLow, batteryHigh = 0.8, 1.25
)

// RailVolts is what a reading of volts shows of the rail that it was taken across.
type RailVolts struct {
	Verdict RailVerdict
	Outputs []Output // of the supplies whose rail and return the tips are on
	Load    int      // place in Parts().Loads of the load whose feed and return they are on; -1
	// Volts, Nominal, Low and High count from the return to the rail, as if the rail
	// were positive. Nominal is 0 where nothing says it.
	Volts, Nominal, Low, High float64
	// Sign is -1 where the display counts the other way round. Firm: whatever lies
	// outside of Low and High contradicts the map.
	Sign float64
	Firm bool
}

// Output is one supply between whose rail and return a reading was taken.
type Output struct {
	Supply int  // place in Parts().Supplies
	Own    bool // the tips are on its own terminals
}

// Own returns the supply, by place in Parts().Supplies, on whose own terminals the
// tips are; -1: on none's.
func (v RailVolts) Own() int {
	for _, output := range v.Outputs {
		if output.Own {
			return output.Supply
		}
	}
	return -1
}

// Parts are the supplies and loads of the machine.
func (j *Judge) Parts() *graphs.Parts {
	if j.parts == nil {
		j.parts = graphs.FindParts(j.Machine)
	}
	return j.parts
}

// railVolts judges volts by the limits of what they were read across: of a load,
// its feed's own; of a supply, its rail's.
func (j *Judge) railVolts(r model.Reading, red, black int) RailVolts {
	v := RailVolts{Load: -1}
	outputs, forward := j.outputs(red, black, r.Conditions)
	v.Outputs = outputs
	sign := 1.0
	if !forward {
		sign = -1
	}
	if v.Load, forward = j.loadAt(red, black); v.Load >= 0 {
		if sign = 1; !forward {
			sign = -1
		}
	}
	if v.Load < 0 && len(outputs) == 0 || !j.setLimits(&v, &sign) {
		return v
	}
	if r.Mode == model.ModeVoltsAC {
		v.Volts = math.Abs(r.Value.Number)
		v.Verdict = j.rippleVerdict(&v, red, black)
		return v
	}
	v.Volts = sign * r.Value.Number
	expected := j.Volts(red, black, r.Conditions)
	expected.Value *= sign
	v.Sign = sign
	v.Verdict = j.dcVerdict(&v, expected, r.Conditions, red, black)
	return v
}

func (j *Judge) rippleVerdict(v *RailVolts, red, black int) RailVerdict {
	switch {
	case v.Nominal == 0 || j.Rest.FeedBridge(red, black):
		return RailUnknown
	case v.Volts > RippleShare*v.Nominal:
		return RailRipple
	default:
		return RailGood
	}
}

// copperShare is how near volts that are too low must come to what the map's copper
// leaves to be explained by it: a meter and a supply that is set by hand. Judgement.
const copperShare = 0.03

// dcVerdict holds the volts against the limits, and against what the map has there
// under the reading's conditions: what that explains is no verdict.
func (j *Judge) dcVerdict(v *RailVolts, expected model.Optional, conditions model.Conditions, red, black int) RailVerdict {
	on := expected.Known && (expected.Value >= v.Low && expected.Value <= v.High || nearVolts(expected.Value, v.Low, v.Nominal) || nearVolts(expected.Value, v.High, v.Nominal))
	undriven := j.undriven(red, conditions) || j.undriven(black, conditions) // says nothing by having no volts
	v.Firm = on && !undriven && j.fedBy(v, conditions)
	switch {
	case j.rightElsewhere(v):
		return RailGood
	case expected.Known && !on && nearVolts(v.Volts, expected.Value, v.Nominal):
		return RailOff // a switch that is open, a rail that another one meets
	case v.Volts > v.High:
		return RailHigh
	case !on:
		return RailUnknown
	case v.Volts < v.Low && v.Volts >= deadShare*v.Nominal && math.Abs(v.Volts-expected.Value) <= copperShare*v.Nominal:
		return RailOff // the copper on the map drops as much
	case v.Volts >= v.Low:
		return RailGood
	case undriven:
		return RailOff
	case v.Volts <= -deadShare*v.Nominal:
		return RailReversed
	case v.Firm && v.Volts < deadShare*v.Nominal:
		return RailDead
	case v.Volts >= deadShare*v.Nominal && (v.Firm || !takesOff(conditions)):
		return RailLow
	default:
		return RailOff // it is off, or its capacitors run down
	}
}

// takesOff says whether conditions open anything.
func takesOff(conditions model.Conditions) bool {
	return slices.ContainsFunc(conditions, func(c model.Condition) bool {
		return c.Kind == model.Unplugged || c.Kind == model.Lifted || c.Kind == model.ContactOpen
	})
}

// rightElsewhere says whether the volts are those of another supply on the same
// rail: a battery on its charger, the stronger of two behind diodes, rails that
// the map draws together.
func (j *Judge) rightElsewhere(v *RailVolts) bool {
	return len(v.Outputs) > 1 && slices.ContainsFunc(v.Outputs, func(o Output) bool {
		low, high, known := j.railLimits(o.Supply)
		return known && v.Volts >= low && v.Volts <= high
	})
}

// setLimits sets what is in order there, and turns the sign so that the rail
// counts as positive. False: the map says nothing of the volts.
func (j *Judge) setLimits(v *RailVolts, sign *float64) bool {
	if v.Load >= 0 {
		load := &j.Parts().Loads[v.Load]
		if !load.MinVolts.Known || !load.MaxVolts.Known {
			return false
		}
		low, high := load.MinVolts.Value, load.MaxVolts.Value
		nominal := load.Volts.Or((low + high) / 2)
		if nominal < 0 {
			*sign, nominal, low, high = -*sign, -nominal, -high, -low
		}
		v.Nominal, v.Low, v.High = nominal, low, high
		if terminal := j.Machine.Terminals[load.Feed]; !terminal.MinVolts.Known && !terminal.MaxVolts.Known {
			for _, o := range v.Outputs { // a battery is no stiff rail
				if low, high, known := j.railLimits(o.Supply); known && j.isBattery(o.Supply) {
					v.Low, v.High = math.Min(v.Low, low), math.Max(v.High, high)
				}
			}
		}
		return true
	}
	for _, o := range v.Outputs {
		low, high, known := j.railLimits(o.Supply)
		if !known {
			continue
		}
		nominal := j.Parts().Supplies[o.Supply].Volts.Or((low + high) / 2)
		if nominal < 0 {
			*sign, nominal = -*sign, -nominal
		}
		v.Nominal, v.Low, v.High = nominal, low, high
		if !o.Own && v.Low > 0 {
			v.Low -= voltsShare * nominal / 2 // the drop on the way is not the supply's
		}
		return true
	}
	return false
}

// RailLimits returns between what volts a rail is kept by the supply that gives it,
// the lower ones first, and by whose word.
func (j *Judge) RailLimits(rail int) (low, high float64, by string, known bool) {
	supply := slices.IndexFunc(j.Parts().Supplies, func(s graphs.Supply) bool { return s.Rail == rail })
	if supply < 0 {
		return 0, 0, "", false
	}
	if low, high, known = j.railLimits(supply); !known {
		return 0, 0, "", false
	}
	terminal := j.Machine.Terminals[rail]
	if terminal.Volts.Or(low+high) < 0 {
		low, high = -high, -low
	}
	switch {
	case terminal.MinVolts.Known && terminal.MaxVolts.Known:
		by = "its own limits"
	case terminal.MinVolts.Known || terminal.MaxVolts.Known:
		by = "its own limit; a tenth on the other side (common practice)"
	case j.isBattery(supply):
		by = "a battery, empty to charging (common practice)"
	default:
		by = "a tenth either way (common practice)"
	}
	return low, high, by, true
}

// railLimits returns what a supply's own output may have, as a positive rail.
func (j *Judge) railLimits(supply int) (low, high float64, known bool) {
	terminal := j.Machine.Terminals[j.Parts().Supplies[supply].Rail]
	if j.isBattery(supply) && terminal.Volts.Known {
		volts := math.Abs(terminal.Volts.Value)
		if !terminal.MinVolts.Known && !terminal.MaxVolts.Known {
			return batteryLow * volts, batteryHigh * volts, volts > 0
		}
	}
	least, most := terminal.Limits()
	if !least.Known || !most.Known || least.Value == 0 && most.Value == 0 {
		return 0, 0, false
	}
	low, high = least.Value, most.Value
	if terminal.Volts.Or((low+high)/2) < 0 {
		low, high = -high, -low
	}
	return low, high, true
}

func (j *Judge) isBattery(supply int) bool {
	device, _ := j.Machine.Device(j.Parts().Supplies[supply].Device)
	return device.Kind.Known() == model.KindBattery
}

// outputs returns the supplies between whose rail and return two terminals lie
// under conditions, those at whose own terminals they are first; forward: the
// first is on the rail.
func (j *Judge) outputs(red, black int, conditions model.Conditions) (list []Output, forward bool) {
	nets := j.View(conditions).Nets()
	for _, along := range [2]bool{true, false} {
		rail, zero := red, black
		if !along {
			rail, zero = black, red
		}
		for at, supply := range j.Parts().Supplies {
			own := supply.Rail == rail && slices.Contains(supply.Returns, zero)
			onNets := nets.Same(supply.Rail, rail) && slices.ContainsFunc(supply.Returns, func(t int) bool { return nets.Same(t, zero) })
			if own || onNets && !nets.Same(rail, zero) {
				list = append(list, Output{Supply: at, Own: own})
			}
		}
		if len(list) > 0 {
			slices.SortStableFunc(list, func(x, y Output) int {
				switch {
				case x.Own && !y.Own:
					return -1
				case y.Own && !x.Own:
					return 1
				}
				return model.CompareRefs(j.Rest.Ref(j.Parts().Supplies[x.Supply].Rail), j.Rest.Ref(j.Parts().Supplies[y.Supply].Rail))
			})
			return list, along
		}
	}
	return nil, true
}

// loadAt returns the load whose feed and return two terminals are; -1: of none.
func (j *Judge) loadAt(red, black int) (load int, forward bool) {
	for at, l := range j.Parts().Loads {
		switch {
		case l.Feed == red && slices.Contains(l.Returns, black):
			return at, true
		case l.Feed == black && slices.Contains(l.Returns, red):
			return at, false
		}
	}
	return -1, true
}

// undriven says whether an output lies on a net that somebody has to command on,
// and nobody did.
func (j *Judge) undriven(t int, conditions model.Conditions) bool {
	return slices.ContainsFunc(j.Rest.Nets().Net(t).Terminals, func(other int) bool {
		terminal := &j.Machine.Terminals[other]
		return terminal.Role == model.RoleDrive && !slices.Contains(conditions, model.Condition{Kind: model.Driven, Device: terminal.Device, From: terminal.Mark})
	})
}
