package diagnosis

import (
	"math"
	"slices"
	"strconv"

	"bellout/graphs"
	"bellout/model"
)

// Kind is what may have happened to a part or to the wiring.
type Kind string

// The kinds of hypothesis that the running machine can show.
const (
	ElementOpen  Kind = "open"       // a wire, link, fuse, contact or winding does not conduct
	ElementHigh  Kind = "high"       // a resistance in a wire's joint or a contact
	ElementClose Kind = "welded"     // a contact conducts in every position
	PartShort    Kind = "part-short" // a winding or resistor has next to nothing
	PartValue    Kind = "part-value" // it has Size times the ohms that the map says
	LoadOpen     Kind = "load-open"  // a device draws nothing: open inside
	LoadShort    Kind = "load-short" // a device's input is shorted
	Touch        Kind = "short"      // two nets touch
	SupplyDead   Kind = "supply-dead"
	SupplyLow    Kind = "supply-low"
	SupplyHigh   Kind = "supply-high"
	SupplyRipple Kind = "supply-ripple"
	StuckOn      Kind = "stuck-on" // an output conducts whatever is commanded
	StuckOff     Kind = "stuck-off"
	DiodeOpen    Kind = "diode-open"
	DiodeShort   Kind = "diode-short"
	DiodeTurned  Kind = "diode-reversed"
	Mechanism    Kind = "mechanism" // kills at a distance, and shows nothing now
	NoPower      Kind = "no-power"  // nothing comes out of the wall, or the plug is out
)

// Hypothesis is one thing that may be wrong. What a kind does not need is -1.
type Hypothesis struct {
	Kind    Kind
	Element int     // ElementOpen, ElementHigh, ElementClose, diodes
	At, To  int     // terminals: a supply's rail, an output, a load's feed; Touch: both
	Blown   int     // the fuse that a short took with it
	Size    float64 // ohms, or for supplies the share of their own volts
	Prior   float64 // its chance, against 1 for nothing wrong
	// Kills are the chances that it kills a device, by device: exposure, lethality
	// and fragility together.
	Kills map[string]float64
	Name  string // Mechanism: what and where
	key   string // see Key; empty until it is proposed
	id    int    // its place among those proposed, from 1
}

func newHypothesis(kind Kind, prior float64) Hypothesis {
	return Hypothesis{Kind: kind, Element: -1, At: -1, To: -1, Blown: -1, Prior: prior}
}

// Key tells hypotheses apart, their sizes too.
func (h Hypothesis) Key() string {
	if h.key != "" {
		return h.key
	}
	return h.Place() + " " + strconv.Itoa(h.Blown) + " " + strconv.FormatFloat(h.Size, 'g', 6, 64)
}

// Place tells apart what a person would repair: sizes and consequences left out.
func (h Hypothesis) Place() string {
	if h.Kind == Mechanism {
		return h.Name
	}
	return string(h.Kind) + " " + strconv.Itoa(h.Element) + " " + strconv.Itoa(h.At) + " " + strconv.Itoa(h.To)
}

// change adds what the hypothesis changes in the running machine.
func (h Hypothesis) change(l *Live, r *graphs.Running) {
	open := math.Inf(1)
	switch h.Kind {
	case ElementOpen:
		r.Changes = append(r.Changes, graphs.ElementChange{Element: h.Element, Ohms: open})
		l.withoutMains(h.Element, r)
	case ElementHigh:
		r.Changes = append(r.Changes, graphs.ElementChange{Element: h.Element, Ohms: l.Circuit.Elements[h.Element].Ohms + h.Size})
	case ElementClose:
		r.Changes = append(r.Changes, graphs.ElementChange{Element: h.Element})
	case PartShort, PartValue:
		r.Changes = append(r.Changes, graphs.ElementChange{Element: h.Element, Ohms: h.partOhms(l.Circuit)})
	case LoadOpen, LoadShort:
		if r.Loads == nil {
			r.Loads = map[int]float64{}
		}
		ohms := open
		if h.Kind == LoadShort {
			ohms = shortedInputOhms
			r.Changes = append(r.Changes, graphs.ElementChange{Element: -1, A: h.At, B: h.To, Ohms: ohms})
		}
		for at, load := range l.net.Parts.Loads {
			if load.Feed == h.At {
				r.Loads[at] = ohms
			}
		}
		if h.Kind == LoadOpen {
			for _, id := range l.Circuit.Incident(h.At) { // its resistance link is the same winding
				if e := l.Circuit.Elements[id]; e.Kind == graphs.Resistance && (e.A == h.To || e.B == h.To) {
					r.Changes = append(r.Changes, graphs.ElementChange{Element: int(id), Ohms: open})
				}
			}
		}
	case Touch:
		r.Changes = append(r.Changes, graphs.ElementChange{Element: -1, A: h.At, B: h.To, Ohms: h.Size})
	case SupplyDead, SupplyLow, SupplyHigh:
		l.supply(h.At, func(at int, volts float64) {
			r.Supplies[at] = graphs.SupplyState{Off: h.Kind == SupplyDead, Volts: volts * h.Size}
		}, r)
	case StuckOn, StuckOff:
		if r.Stuck == nil {
			r.Stuck = map[int]float64{}
		}
		for at, driver := range l.net.Parts.Drivers {
			if driver.Drive == h.At {
				r.Stuck[at] = stuckOhms
				if h.Kind == StuckOff {
					r.Stuck[at] = open
				}
			}
		}
	case DiodeOpen, DiodeShort, DiodeTurned:
		if r.Diodes == nil {
			r.Diodes = map[int]model.Optional{}
		}
		r.Diodes[h.Element] = map[Kind]model.Optional{DiodeOpen: model.Known(open), DiodeShort: model.Known(shortedDiodeOhms)}[h.Kind]
	case NoPower:
		for at := range l.mains {
			l.off(at, r)
		}
	}
	if h.Blown >= 0 {
		r.Changes = append(r.Changes, graphs.ElementChange{Element: h.Blown, Ohms: open})
	}
}

// partOhms is what a part has that is not what the map says.
func (h Hypothesis) partOhms(c *graphs.Circuit) float64 {
	if h.Kind == PartShort {
		return shortedInputOhms
	}
	return h.Size * c.Elements[h.Element].Ohms
}

// What broken parts have, in ohms. Judgement.
const (
	shortedInputOhms = 0.1
	shortedDiodeOhms = 0.1
	stuckOhms        = 0.05
)

func (l *Live) supply(rail int, set func(at int, volts float64), r *graphs.Running) {
	if r.Supplies == nil {
		r.Supplies = map[int]graphs.SupplyState{}
	}
	for at, supply := range l.net.Parts.Supplies {
		if supply.Rail == rail {
			set(at, supply.Volts.Or(0))
		}
	}
}

func (l *Live) off(at int, r *graphs.Running) {
	if r.Supplies == nil {
		r.Supplies = map[int]graphs.SupplyState{}
	}
	r.Supplies[at] = graphs.SupplyState{Off: true}
}

// withoutMains turns off the supplies that the mains reaches only through an
// element.
func (l *Live) withoutMains(element int, r *graphs.Running) {
	for at, only := range l.mains {
		if slices.Contains(only, element) {
			l.off(at, r)
		}
	}
}
