package faults

import (
	"math"

	"bellout/graphs"
	"bellout/model"
)

// losses is the running machine, ready for losses, and what goes dark with one.
type losses struct {
	b       *Analysis
	running *graphs.Contingencies
	whole   *graphs.OperatingPoint
	outputs map[string][]int // by device: places in Parts.Supplies
	devices []string         // those that have outputs
	mains   map[int]bool     // nets of Apart that hold a line or a neutral
}

// newLosses prepares the machine on (see On) for losses; idle are loads, by place
// in Parts.Loads, that are taken to draw nothing. Cost: that of an operating
// point.
func newLosses(b *Analysis, idle ...int) *losses {
	l := &losses{b: b, running: b.On().Contingencies(idle...), outputs: map[string][]int{}, mains: map[int]bool{}}
	l.whole = l.running.Whole()
	for i, supply := range b.Parts.Supplies {
		l.outputs[supply.Device] = append(l.outputs[supply.Device], i)
	}
	l.devices = sortedKeys(l.outputs)
	for t, terminal := range b.Machine.Terminals {
		if terminal.Role == model.RoleLine || terminal.Role == model.RoleNeutral {
			l.mains[b.NetOf(t)] = true
		}
	}
	return l
}

// lose returns the running machine with elements open, and with everything that
// goes dark because of it: a supply whose line or neutral no longer reaches the
// mains inlet gives nothing, a converter that gets less than half of its volts
// neither, and what hangs on a converter follows. How little a converter stands
// is not on the map; half is engineering judgement.
func (l *losses) lose(elements ...int) *graphs.Loss {
	b := l.b
	dark := map[string]bool{}
	for _, id := range elements {
		if e := b.AsIntended.Elements[id]; !l.mains[b.NetOf(e.A)] && !l.mains[b.NetOf(e.B)] {
			continue
		}
		for _, device := range l.devices {
			if b.mainsReach(device, -1) && !b.mainsReach(device, id) {
				dark[device] = true
			}
		}
	}
	for {
		var outputs []int
		for _, device := range sortedKeys(dark) {
			outputs = append(outputs, l.outputs[device]...)
		}
		lost := l.running.Lose(elements, outputs)
		grown := false
		for _, i := range lost.Touched() {
			if load := b.Parts.Loads[i]; len(l.outputs[load.Device]) > 0 && !dark[load.Device] && starves(load, l.whole, lost) {
				dark[load.Device], grown = true, true
			}
		}
		if !grown {
			return lost
		}
	}
}

// starves says whether a feed of a converter had enough before and now gets too
// little for it to give anything.
func starves(load graphs.Load, before, after voltmeter) bool {
	half := 0.5 * math.Abs(load.Volts.Value)
	was, is := feedVolts(before, load), feedVolts(after, load)
	return load.Volts.Known && was.Known && math.Abs(was.Value) >= half && (!is.Known || math.Abs(is.Value) < half)
}

// mainsReach says whether every line and neutral terminal of a device leads to one
// of the mains inlet, switches in any position, with one element open (-1:
// none). A device without such terminals is not on the mains.
func (b *Analysis) mainsReach(device string, element int) bool {
	found := false
	for _, mark := range b.Machine.Marks(device) {
		t, _ := b.Machine.TerminalIndex(model.TerminalRef{Device: device, Mark: mark})
		role := b.role(t)
		if role != model.RoleLine && role != model.RoleNeutral {
			continue
		}
		found = true
		_, _, reaches := b.shortest(b.AsIntended, t,
			func(id int) bool { return id != element && b.AsIntended.Elements[id].Walks() },
			func(t int) bool { return b.role(t) == role && b.kindOf(b.device(t)) == model.KindMainsInlet })
		if !reaches {
			return false
		}
	}
	return found
}
