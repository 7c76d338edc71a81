package nextprobe

import (
	"fmt"

	"bellout/faults/explain"
	"bellout/model"
)

// changedOver proposes to look for a third explanation of two wires that both
// read open or bad and end on one device: changed over there, each is open where it
// should be, and joined to the other's place.
func (p *Planner) changedOver(groups []ambiguityGroup) (Proposal, bool) {
	var open []int
	chance := map[int]float64{}
	for i := range groups {
		for at, set := range groups[i].Sets {
			for _, h := range set.Members {
				if h.Fault != explain.WireOpen && h.Fault != explain.WireHigh {
					continue
				}
				if chance[h.Element] == 0 {
					open = append(open, h.Element)
				}
				chance[h.Element] += groups[i].chances[at]
			}
		}
	}
	nets := p.circuit.Nets()
	for i, one := range open {
		for _, other := range open[i+1:] {
			if chance[one] < knownBroken || chance[other] < knownBroken || nets.Of[p.circuit.Elements[one].A] == nets.Of[p.circuit.Elements[other].A] {
				continue
			}
			if proposal, found := p.crossedEnds(one, other); found {
				return proposal, true
			}
		}
	}
	return Proposal{}, false
}

// crossedEnds proposes to touch the far end of one wire and the place of the
// other on the device where both end.
func (p *Planner) crossedEnds(one, other int) (Proposal, bool) {
	a, b := p.circuit.Elements[one], p.circuit.Elements[other]
	for _, x := range [2]int{a.A, a.B} {
		for _, y := range [2]int{b.A, b.B} {
			device := p.machine.Terminals[x].Device
			if device != p.machine.Terminals[y].Device {
				continue
			}
			far := p.circuit.Far(one, x)
			otherFar := p.circuit.Far(other, y)
			if times, _ := p.known.Touched(p.ref(far), p.ref(y), nil); times > 0 {
				continue
			}
			if times, _ := p.known.Touched(p.ref(otherFar), p.ref(x), nil); times > 0 {
				continue
			}
			tips := [2]int{far, y}
			if !p.usable(far, y, nil) {
				tips = [2]int{otherFar, x}
			}
			sight := p.sight(tips[0], tips[1], nil)
			if !p.usable(tips[0], tips[1], nil) || sight.Metal {
				continue
			}
			names := [2]string{p.machine.Wires[a.Row].Name, p.machine.Wires[b.Row].Name}
			mode := model.ModeContinuity
			if p.judge.Meter.Beeps(sight.Ohms) > unlikely || p.mains(tips[0]) {
				mode = model.ModeOhms
			}
			made := p.proposal(tips[0], tips[1], mode, nil)
			made.GainBits = bits(gain(0.5, p.judge.Meter.MissedTouch))
			made.Reason = fmt.Sprintf("%s and %s both read open, and both end on %s: they may be swapped there.", names[0], names[1], device)
			made.Answers = []Answer{
				{map[model.Mode]string{model.ModeContinuity: "A beep", model.ModeOhms: "Under an ohm"}[mode], "they are swapped: one fault, not two"},
				{map[model.Mode]string{model.ModeContinuity: "Silence", model.ModeOhms: "OL, or what the parts between read"}[mode], "each of them is open by itself"},
			}
			return made, true
		}
	}
	return Proposal{}, false
}
