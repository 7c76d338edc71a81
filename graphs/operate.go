package graphs

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
	// fixes it.
	Volts []float64
	// Island by terminal: voltages compare only within one. -1: floating alone.
	Island []int
}

// Operate returns the voltages of the machine running: every rail at its volts
// against its supply's return, wires with their resistance, drivers on.
func (c *Circuit) Operate(loads LoadModel, changes ...ElementChange) *OperatingPoint {
	return nil
}
