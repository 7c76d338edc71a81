package faults

import (
	"math"
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// opened returns the running machine with one element open, and with everything
// that goes dark because of it: a supply whose line or neutral no longer reaches
// the mains inlet gives nothing, a converter that gets less than half of its
// volts neither, and what hangs on a converter follows. How little a converter
// stands is not on the map; half is engineering judgement.
func (b *Bench) opened(element int, before *graphs.OperatingPoint) *graphs.OperatingPoint {
	change := graphs.ElementChange{Element: element, Ohms: math.Inf(1)}
	dark := map[string]bool{}
	for _, device := range b.sources() {
		if b.mainsReach(device, -1) && !b.mainsReach(device, element) {
			dark[device] = true
		}
	}
	after := b.without(dark).Operate(graphs.LoadsAsResistances, change)
	for {
		grown := false
		for _, device := range b.sources() {
			if !dark[device] && b.starves(device, before, after) {
				dark[device], grown = true, true
			}
		}
		if !grown {
			return after
		}
		after = b.without(dark).Operate(graphs.LoadsAsResistances, change)
	}
}

// sources returns the devices that have a rail, sorted.
func (b *Bench) sources() []string {
	var devices []string
	for _, supply := range b.Parts.Supplies {
		devices = append(devices, supply.Device)
	}
	slices.SortFunc(devices, model.Compare)
	return slices.Compact(devices)
}

// without returns the machine switched on with the outputs of some devices taken for no source.
func (b *Bench) without(dark map[string]bool) *graphs.Circuit {
	if len(dark) == 0 {
		return b.On()
	}
	var edit model.Edit
	for _, supply := range b.Parts.Supplies {
		if rail := b.Machine.Terminals[supply.Rail]; dark[supply.Device] {
			off := rail
			off.Volts = model.Optional{}
			edit.Changes = append(edit.Changes, model.Change{Before: rail, After: off})
		}
	}
	machine := b.Machine.Clone() // rows keep their places: elements have the same numbers
	if err := machine.Apply(edit); err != nil {
		panic("whatif: " + err.Error()) // a rail may be without volts: a mistake of ours
	}
	var culprits []int
	for _, crossing := range b.Crossings {
		culprits = append(culprits, crossing.Elements...)
	}
	return graphs.NewCircuit(machine, nil).Without(culprits...).Closed(b.on.closed...)
}

// starves says whether a device that was fed before now gets too little to give
// anything.
func (b *Bench) starves(device string, before, after *graphs.OperatingPoint) bool {
	for _, load := range b.Parts.Loads {
		if load.Device != device || !load.Volts.Known {
			continue
		}
		half := 0.5 * math.Abs(load.Volts.Value)
		was, is := feedVolts(before, load), feedVolts(after, load)
		if was.Known && math.Abs(was.Value) >= half && (!is.Known || math.Abs(is.Value) < half) {
			return true
		}
	}
	return false
}

// mainsReach says whether every line and neutral terminal of a device leads to one
// of the mains inlet, switches in any position, with one element open (-1:
// none). A device without such terminals is not on the mains.
func (b *Bench) mainsReach(device string, element int) bool {
	found := false
	for _, mark := range b.Machine.Marks(device) {
		t, _ := b.Machine.TerminalIndex(model.TerminalRef{Device: device, Mark: mark})
		role := b.role(t)
		if role != model.RoleLine && role != model.RoleNeutral {
			continue
		}
		found = true
		_, _, reaches := b.shortest(b.Apart, t,
			func(id int) bool { return id != element && b.Apart.Elements[id].Walks() },
			func(t int) bool { return b.role(t) == role && b.kindOf(b.device(t)) == model.KindMainsInlet })
		if !reaches {
			return false
		}
	}
	return found
}
