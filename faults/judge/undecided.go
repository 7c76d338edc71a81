package judge

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bellout/graphs"
	"bellout/model"
)

// aside says what would decide a reading that can't tell.
func (j *Judge) aside(r model.Reading, red, black int) string {
	if r.Mode == model.ModeContinuity {
		return "read ohms: steady and under 0.5 ohm is metal; or " + j.apart(r.Conditions, red, black) + " and repeat"
	}
	return j.apart(r.Conditions, red, black) + " and repeat"
}

// apart says what to lift or to unplug so that nothing undecided lies between
// two tips any more: one wire at a tip where that does it, else the devices.
func (j *Judge) apart(conditions model.Conditions, red, black int) string {
	for _, tip := range [2]int{black, red} {
		wires := j.wiresAt(tip)
		if len(wires) != 1 || j.leftInPlace(model.Condition{Kind: model.Lifted, Wire: wires[0]}) {
			continue
		}
		if j.decides(red, black, conditions, model.Condition{Kind: model.Lifted, Wire: wires[0]}) {
			return fmt.Sprintf("lift %s (--when \"lifted %s\")", wires[0], wires[0])
		}
	}
	devices := slices.DeleteFunc(j.undecidedDevices(conditions, red, black), func(device string) bool {
		return j.leftInPlace(model.Condition{Kind: model.Unplugged, Device: device})
	})
	for _, device := range devices {
		if j.decides(red, black, conditions, model.Condition{Kind: model.Unplugged, Device: device}) {
			return fmt.Sprintf("unplug %s (--when \"unplugged %s\")", device, device)
		}
	}
	if len(devices) == 0 {
		return "unplug the device with the electronics, its earth left on, or lift one wire of it,"
	}
	return "unplug " + ListText(devices, 4)
}

// leftInPlace says whether a condition would open a protective conductor or something
// of the mains.
func (j *Judge) leftInPlace(condition model.Condition) bool {
	if j.kept == nil {
		j.kept = j.Rest.LeftInPlace()
	}
	return j.kept.Opened(condition)
}

// decides says whether one more condition leaves a path, and nothing undecided
// beside it.
func (j *Judge) decides(red, black int, conditions model.Conditions, more model.Condition) bool {
	with := model.NewConditions(append(slices.Clone(conditions), more)...)
	before, after := j.firmSight(red, black, conditions), j.Sight(red, black, with)
	return after.Decided() && math.IsInf(before.Ohms, 1) == math.IsInf(after.Ohms, 1)
}

func (j *Judge) wiresAt(terminal int) []string {
	var names []string
	for _, id := range j.Rest.Incident(terminal) {
		if e := j.Rest.Elements[id]; e.Kind == graphs.Wire && e.Present {
			names = append(names, j.Machine.Wires[e.Row].Name)
		}
	}
	return names
}

// mostBeside is how many undecided links are looked at to name what lies beside
// a reading.
const mostBeside = 64

// undecidedAt returns the undecided elements with an end on a tip's net, but for
// diodes that block the meter's current; rising.
func (j *Judge) undecidedAt(conditions model.Conditions, red, black int) []int {
	c := j.View(conditions)
	nets := c.Nets()
	var found []int
	for _, tip := range [2]int{red, black} {
		for _, t := range nets.Net(tip).Terminals {
			for _, id := range c.Incident(t) {
				e := c.Elements[id]
				switch e.Kind {
				case graphs.Capacitance, graphs.Electronic:
				case graphs.Diode: // from its anode A, where red pushes current in, to B
					if nets.Of[e.A] == nets.Of[black] || nets.Of[e.B] == nets.Of[red] {
						continue
					}
				default:
					continue
				}
				if e.Present && nets.Of[e.A] != nets.Of[e.B] {
					found = append(found, int(id))
				}
			}
			if len(found) > mostBeside {
				break
			}
		}
	}
	slices.Sort(found)
	return slices.Compact(found)
}

func (j *Judge) undecidedDevices(conditions model.Conditions, red, black int) []string {
	var devices []string
	for _, id := range j.undecidedAt(conditions, red, black) {
		devices = append(devices, j.Machine.Links[j.Rest.Elements[id].Row].Device)
	}
	slices.SortFunc(devices, model.Compare)
	return slices.Compact(devices)
}

// beside names what lies between two tips that a meter's small voltage leaves
// undecided, with the verb that follows.
func (j *Judge) beside(conditions model.Conditions, red, black int) (names, lie string) {
	kinds := map[graphs.ElementKind]bool{}
	for _, id := range j.undecidedAt(conditions, red, black) {
		kinds[j.Rest.Elements[id].Kind] = true
	}
	var list []string
	for _, row := range []struct {
		kind graphs.ElementKind
		name string
	}{{graphs.Electronic, "electronics"}, {graphs.Diode, "a diode"}, {graphs.Capacitance, "a capacitor"}} {
		if kinds[row.kind] || len(kinds) == 0 {
			list = append(list, row.name)
		}
	}
	if len(list) == 1 && list[0] != "electronics" {
		return list[0], "lies"
	}
	if len(list) == 1 {
		return list[0], "lie"
	}
	last := " and "
	if len(kinds) == 0 {
		last = " or "
	}
	return strings.Join(list[:len(list)-1], ", ") + last + list[len(list)-1], "lie"
}
