package judge

import (
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// poweredKey names a device under conditions.
type poweredKey struct{ device, conditions string }

// fedBy says whether the supplies behind a reading have power under its
// conditions, as far as the map knows: their plug is in, the switches on their
// mains way are closed, a converter has its input.
func (j *Judge) fedBy(v *RailVolts, conditions model.Conditions) bool {
	for _, o := range v.Outputs {
		if !j.Powered(j.Parts().Supplies[o.Supply].Device, conditions) {
			return false
		}
	}
	if len(v.Outputs) > 0 || v.Load < 0 {
		return true
	}
	// behind diodes, resistors and drivers: whatever the map has on its island
	point := j.operate(conditions)
	load := &j.Parts().Loads[v.Load]
	for _, supply := range j.Parts().Supplies {
		if point.Island[supply.Rail] == point.Island[load.Feed] && !j.Powered(supply.Device, conditions) {
			return false
		}
	}
	return true
}

// Powered says whether a supply has power under conditions. Where the map does not
// have its mains side or its input it is taken to, as long as no inlet is
// unplugged.
func (j *Judge) Powered(device string, conditions model.Conditions) bool {
	key := poweredKey{device, conditions.String()}
	known, asked := j.powered[key]
	if !asked {
		j.powered[key] = true // a ring of converters ends here
		known = j.hasPower(device, conditions)
		j.powered[key] = known
	}
	return known
}

func (j *Judge) hasPower(device string, conditions model.Conditions) bool {
	out := map[string]bool{}
	for _, condition := range conditions {
		if condition.Kind == model.Unplugged {
			out[condition.Device] = true
		}
	}
	if out[device] {
		return false
	}
	var mains []int
	for t, terminal := range j.Machine.Terminals {
		if terminal.Device == device && (terminal.Role == model.RoleLine || terminal.Role == model.RoleNeutral) {
			mains = append(mains, t)
		}
	}
	for _, t := range mains {
		if !j.reachesMains(t, conditions, out) {
			return false
		}
	}
	for at, load := range j.Parts().Loads {
		if load.Device == device && !j.inputFed(at, conditions) {
			return false
		}
	}
	return true
}

// reachesMains says whether metal joins a pole of a supply to an inlet that is
// plugged in. A machine without any inlet on its map has one all the same.
func (j *Judge) reachesMains(t int, conditions model.Conditions, out map[string]bool) bool {
	anyOut, any := false, false
	for _, device := range j.Machine.Devices {
		if j.isInlet(device.Ref) {
			any, anyOut = true, anyOut || out[device.Ref]
		}
	}
	if !any || len(j.Rest.Nets().Net(t).Wires) == 0 { // the mains side is not on the map
		return !anyOut
	}
	return slices.ContainsFunc(j.View(conditions).Nets().Net(t).Terminals, func(other int) bool {
		ref := j.Machine.Terminals[other].Device
		return j.isInlet(ref) && !out[ref]
	})
}

// isInlet says whether the mains come in by a device.
func (j *Judge) isInlet(ref string) bool {
	device, _ := j.Machine.Device(ref)
	return device.Kind.Known() == model.KindMainsInlet
}

// inputFed says whether a converter's input has its volts under conditions; one
// without any wire is not mapped that far.
func (j *Judge) inputFed(load int, conditions model.Conditions) bool {
	l := &j.Parts().Loads[load]
	if len(l.Returns) == 0 || len(j.Rest.Nets().Net(l.Feed).Wires) == 0 {
		return true
	}
	point := j.operate(conditions)
	volts, known := point.Between(l.Feed, l.Returns[0])
	if !known || volts*l.Volts.Or(1) <= 0 {
		return false
	}
	return !slices.ContainsFunc(j.Parts().Supplies, func(supply graphs.Supply) bool {
		return supply.Device != l.Device && point.Island[supply.Rail] == point.Island[l.Feed] && !j.Powered(supply.Device, conditions)
	})
}
