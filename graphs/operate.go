package graphs

import "math"

// LoadModel says how a load draws current in an operating point.
type LoadModel uint8

// The ways in which a load draws.
const (
	// LoadsAsCurrents: each load draws its load_a, if its loop is closed.
	LoadsAsCurrents LoadModel = iota
	// LoadsAsResistances: each load is the resistance volts/load_a, or its
	// resistance link where load_a is empty.
	LoadsAsResistances
)

// OperatingPoint holds the voltages of the running machine.
type OperatingPoint struct {
	// Volts by terminal, against the reference of its island; NaN where nothing
	// fixes it. The reference is a supply's return, the first by name, or, in an
	// island without a supply, its first terminal.
	Volts []float64
	// Island by terminal: voltages compare only within one. -1: floating alone.
	Island []int
	// Fighting are the supplies, by place in Parts.Supplies, that were left out
	// because metal shorts them or holds their rail at another supply's volts.
	// What they feed has the volts of whatever was kept.
	Fighting []int
	// Drawing says, by place in Parts.Loads, whether the load has a closed loop
	// to a source and so draws.
	Drawing []bool
}

// Between returns the volts from black to red; false where nothing fixes them.
func (p *OperatingPoint) Between(red, black int) (volts float64, known bool) {
	if red == black {
		return 0, true
	}
	if p.Island[red] < 0 || p.Island[red] != p.Island[black] {
		return math.NaN(), false
	}
	return p.Volts[red] - p.Volts[black], true
}

// onOhms is what a conducting diode has: so little that it drops no volts that
// a meter shows, and enough to tell which way its current goes.
const onOhms = 1e-6

// offOhms is what a blocking diode has while the states of diodes are sought:
// enough to give what hangs behind blocked diodes only a voltage to judge by.
// The answer is then worked out without it.
const offOhms = 1e12

// diodeSlack is how many volts on a diode, for each volt or ampere around it,
// are rounding.
const diodeSlack = 1e-12

// diodeRounds bounds the search for which diodes conduct.
const diodeRounds = 60

// Operate returns the voltages of the machine running: every rail at its volts
// against its supply's returns, wires with their resistance, drivers on, and
// the changes made. Rules where a map leaves room:
//
//   - The returns of one section of a device are one node, of a supply and of a
//     load alike.
//   - A supply without volts or without a mapped return is no source. What would
//     shift with the volts that its rail really has is an island of its own. See
//     partByUnknown.
//   - Ideal sources that metal of no ohms sets against each other, or that it
//     shorts, are left out and named in Fighting; the one whose rail comes first
//     by name is kept. Sources that meet through wires with ohms both count, and
//     a large current flows.
//   - Where a bond lets rails of different volts meet, the higher one feeds and the
//     lower one rests, unless what the higher one gives does not reach it.
//   - A driver is on: a drive net that holds a load's return sinks, to the
//     driver's returns; one that holds a load's feed sources, from the driver's
//     feeds; one that holds neither sinks if the driver has returns and sources
//     otherwise. A drive net that also holds a rail, or a supply's return, is
//     left alone. The map before the changes decides.
//   - Contacts and fuses are as the circuit has them.
//   - A load with a known load_a hides its own resistance link; other resistance
//     links conduct. A load draws as a current only if metal, sources, drivers
//     and conducting diodes close its loop, and at a forward voltage.
//   - What hangs only by loads that draw nothing has the potential at their other
//     end: no volts across a lamp behind an open switch, all of them across the
//     switch. See hang.
//   - Diodes are ideal. Capacitances and electronic links carry nothing.
//
// Cost: one elimination of the machine, one more for each round in which diodes
// change their minds; about a fifth of a second at 100,000 terminals.
func (c *Circuit) Operate(loads LoadModel, changes ...ElementChange) *OperatingPoint {
	return newRunning(c, loads, changes).settle()
}
