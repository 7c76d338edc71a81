package model

import (
	"fmt"
	"math"
)

// MaxPlace is how far from the middle of the chart a device can be placed.
const MaxPlace = 1e6

// Place is where a device stands on the chart: the middle of its box, in the
// units of the chart's drawing at its natural size, X to the right and Y
// downwards. A device without a place was never drawn.
type Place struct {
	Device string  `json:"device"`
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
	// Pinned says that a person put the box there: it stays. Otherwise the place
	// was worked out, and is a start for the next time.
	Pinned bool `json:"pinned"`
}

// Table says which table a place belongs to.
func (p Place) Table() Table { return TablePlace }

// ID is the reference of the device.
func (p Place) ID() string { return p.Device }

// Validate returns every complaint about the place by itself.
func (p Place) Validate() []FieldError {
	var found complaints
	found.reference("device", p.Device)
	found.place("x", p.X)
	found.place("y", p.Y)
	return found
}

func (c *complaints) place(field string, at float64) {
	if math.IsNaN(at) || math.Abs(at) > MaxPlace {
		c.add(field, fmt.Sprintf("%g is off the chart", at), fmt.Sprintf("write a number from -%g to %g", float64(MaxPlace), float64(MaxPlace)))
	}
}
