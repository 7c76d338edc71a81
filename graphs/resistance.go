package graphs

import "math"

// ElementChange is one thing that could be otherwise in a circuit. With
// Element >= 0 that element has Ohms instead (+Inf: it is open; a finite value
// also makes an absent one conduct). With Element < 0 a path of Ohms joins
// terminals A and B.
type ElementChange struct {
	Element int
	A, B    int
	Ohms    float64
}

// Prediction is what an ideal meter with ideal leads would show between two
// terminals of the de-energised circuit.
type Prediction struct {
	// Ohms counts every undecided element as open; +Inf if nothing joins them.
	Ohms float64
	// LeastOhms counts every undecided element (electronic, capacitance, a diode
	// in its forward way) as metal: the meter shows something from LeastOhms to
	// Ohms. Where they are equal, nothing undecided can matter.
	LeastOhms float64
}

// Ohms returns the resistance in ohms that an ideal meter shows between
// terminals a and b of the de-energised circuit; 0 for a == b, +Inf if nothing
// joins them.
func (c *Circuit) Ohms(a, b int) float64 { return c.OhmsIf(a, b, nil) }

// OhmsIf returns the resistance between a and b if the changes held.
func (c *Circuit) OhmsIf(a, b int, changes []ElementChange) float64 {
	_ = changes
	return math.Inf(1)
}

// Predict returns what the meter would show with red and black on two
// terminals. Red is positive: a diode conducts when red is on its anode's side.
func (c *Circuit) Predict(red, black int) Prediction {
	ohms := c.Ohms(red, black)
	return Prediction{Ohms: ohms, LeastOhms: ohms}
}

// Through returns the terminals from a to b along the path that carries most of
// a meter's current, both ends included; nil if nothing joins them.
func (c *Circuit) Through(a, b int) []int { return nil }

// solver holds what the circuit computed once for resistance.
type solver struct{}
