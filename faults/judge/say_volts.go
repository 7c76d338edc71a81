package judge

import (
	"fmt"

	"bellout/model"
)

// VoltsMend says what to do about volts that no finding explains.
const VoltsMend = "measure at the supply's own terminals, then half-way"

// sayVolts says what volts should be there, and how the reading stands to that.
func (j *Judge) sayVolts(r model.Reading, judgement Judgement, red, black int) string {
	switch {
	case judgement.Danger == EarthLost:
		return fmt.Sprintf("%s between two points of protective earth, which the map joins: earth is lost while the machine is live. Hands off, plug out.", ValueText(r))
	case judgement.Danger == LivePart:
		return fmt.Sprintf("%s can hurt, and the map expects no such volts between %s and %s. Hands off, plug out.", ValueText(r), r.Red, r.Black)
	case judgement.Danger == Ghost:
		return fmt.Sprintf("%s between %s and %s, which float against each other: taken as live until it collapses on low impedance. Hands off, plug out.", ValueText(r), r.Red, r.Black)
	case j.onMains(red) || j.onMains(black):
		return mainsVolts
	case r.Mode == model.ModeVoltsAC:
		return j.sayRipple(r, judgement.Rail, red, black)
	case judgement.Rail.Verdict > RailGood:
		v := judgement.Rail
		return fmt.Sprintf("%s to %s V belong here. The reading %s is %s.", model.MeterFigures(v.Low), model.MeterFigures(v.High), ValueText(r), verdictWords[v.Verdict])
	case !judgement.Volts.Known && judgement.Outcome == Agrees:
		return fmt.Sprintf("%s to %s V belong here. The reading %s agrees.", model.MeterFigures(judgement.Rail.Low), model.MeterFigures(judgement.Rail.High), ValueText(r))
	case !judgement.Volts.Known:
		return "No source on the map fixes the volts between these two: nothing to compare with."
	}
	expected := fmt.Sprintf("The running machine has %s V here.", model.MeterFigures(judgement.Volts.Value))
	switch judgement.Outcome {
	case Agrees:
		return expected + " The reading agrees; it does not prove a wire, for one strand carries a meter's current."
	case Contradicts:
		return fmt.Sprintf("%s The reading %s lies outside: %s.", expected, ValueText(r), VoltsMend)
	default:
		return expected
	}
}

var verdictWords = map[RailVerdict]string{
	RailHigh: "above that", RailLow: "below that", RailDead: "next to nothing", RailReversed: "of the wrong sign",
}

func (j *Judge) sayRipple(r model.Reading, v RailVolts, red, black int) string {
	switch v.Verdict {
	case RailGood, RailRipple:
		words := fmt.Sprintf("%s is %s %% of the %s V that belong here; up to 1 %% is usual ripple.", ValueText(r), model.MeterFigures(100*v.Volts/v.Nominal), model.MeterFigures(v.Nominal))
		if v.Verdict == RailRipple && v.Volts > notRipple*v.Nominal {
			words += " So much is hardly ripple: an AC output, or a meter whose AC range takes DC for AC (try it on a battery)."
		}
		return words
	}
	if j.Rest.FeedBridge(red, black) {
		return "Kept. These two feed a bridge, so AC may belong here; the map does not say how much."
	}
	return "Kept. The map has no DC rail between these two, so there is nothing to hold AC against."
}
