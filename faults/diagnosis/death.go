package diagnosis

import "math"

// NewMechanism returns a hypothesis that kills at a distance and is told by nothing
// else: kills are the chances that it kills a device, by device.
func NewMechanism(name string, prior float64, kills map[string]float64) Hypothesis {
	h := newHypothesis(Mechanism, prior)
	h.Name, h.Kills = name, kills
	return h
}

// Death is a device that was found broken, or one that lives: whether it died
// tells of everything that could have killed it.
type Death struct {
	Device string
	Dead   bool
	// Background is the chance that it dies by itself in the time looked at.
	Background float64
	// Sure is how sure it is that a living one is well, 0 to 1.
	Sure float64
}

func (d *Death) String() string {
	if d.Dead {
		return d.Device + " died"
	}
	return d.Device + " lives"
}

// Log is the logarithm of the chance that it is as it is: dead by itself or by
// what the hypotheses do to it, each for itself.
func (d *Death) Log(set []Hypothesis) float64 {
	spared := 1.0
	for _, h := range set {
		spared *= 1 - math.Min(h.Kills[d.Device], mostLethal)
	}
	if d.Dead {
		return math.Log(1 - (1-d.Background)*spared)
	}
	return d.Sure * math.Log(spared)
}

// mostLethal keeps a survivor from being impossible.
const mostLethal = 0.999

// Propose adds nothing: what kills at a distance is given to Weigh.
func (d *Death) Propose(*proposer) {}
