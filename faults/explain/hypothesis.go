package explain

import (
	"math"
	"slices"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// Fault is a kind of fault.
type Fault string

// The kinds of fault that readings of conduction can show.
const (
	WireOpen   Fault = "wire-open"   // the wire, or its joint at one end
	JointOpen  Fault = "joint-open"  // all wires of one terminal, joined to each other
	LinkOpen   Fault = "link-open"   // contact, fuse, bus bar
	LoadOpen   Fault = "load-open"   // lamp, coil, motor
	WireHigh   Fault = "wire-high"   // a resistance in the wire or its joints
	JointHigh  Fault = "joint-high"  // the same in the joint of several wires
	LinkHigh   Fault = "link-high"   // the same in a contact or fuse
	PartValue  Fault = "part-value"  // a part is not what the map says
	LinkClosed Fault = "link-closed" // conducts though its position says open
	Short      Fault = "short"       // two terminals touch
	Swap       Fault = "swap"        // two conductors changed over
	Mirrored   Fault = "mirrored"    // all wires of a row of pins: k sits on n+1-k
	Shifted    Fault = "shifted"     // all wires of a row of pins sit one pin off
	Moved      Fault = "moved"       // the end of a wire sits on the terminal beside its own
)

// Place says what is at fault, and where. Elements and terminals are numbered
// as in the circuit at rest; what a kind of fault does not need is -1.
type Place struct {
	Fault   Fault
	Element int // the wire or link
	Other   int // Swap: the other wire; Short: the fuse that it blew; LinkClosed: the throw of a changeover that is open then
	// A, B: JointOpen, JointHigh: A; Short: both; Swap: where Element and Other
	// should end; Moved: where the end should be, and where it is; Mirrored,
	// Shifted: the first and the last pin of the row, with the wires of its
	// outermost wired pins as Element and Other.
	A, B  int
	Step  int  // Shifted: +1 or -1
	Round bool // Shifted: what falls off one end of the row sits on the other
	Band  int  // of Ohms, where there is a size
}

// Hypothesis is one fault that may be there.
type Hypothesis struct {
	Place
	Ohms  float64 // WireHigh, JointHigh, LinkHigh: what it adds; Short, PartValue: what it has
	Prior float64 // its chance, against 1 for nothing wrong
}

// thing is what somebody would look at and mend: a wire, a link or a joint is one
// whether it is open or of high resistance.
func (h Hypothesis) thing() Place {
	spot := h.Spot()
	switch spot.Fault {
	case WireHigh:
		spot.Fault = WireOpen
	case LinkHigh:
		spot.Fault = LinkOpen
	case JointHigh:
		spot.Fault = JointOpen
	}
	return spot
}

func at(fault Fault) Place { return Place{Fault: fault, Element: -1, Other: -1, A: -1, B: -1} }

// bandsPerE is how many bands of size there are for a factor e: sizes within a
// tenth or so of each other are one hypothesis.
const bandsPerE = 5

// sized puts a size in ohms into its band; bandOhms is the size that stands for
// all of the band, so that it does not matter which reading proposed it.
func (p Place) sized(ohms float64) Place {
	p.Band = int(math.Round(bandsPerE*math.Log(ohms+0.25))) + bandZero
	return p
}

// bandZero keeps the number of a band above 0, which means no size.
const bandZero = 1000

func (p Place) bandOhms() float64 {
	if p.Band == 0 {
		return 0
	}
	return max(math.Exp(float64(p.Band-bandZero)/bandsPerE)-0.25, 0.01)
}

// Spot is the place without its size and without what followed from it.
func (p Place) Spot() Place {
	p.Band = 0
	if p.Fault == Short || p.Fault == LinkClosed {
		p.Other = -1
	}
	return p
}

// Changes returns what the hypothesis changes in a circuit with some elements
// lifted or unplugged already: those stay as they are.
func (h Hypothesis) Changes(c *graphs.Circuit) []graphs.ElementChange {
	open := math.Inf(1)
	switch h.Fault {
	case WireOpen, LinkOpen, LoadOpen:
		return []graphs.ElementChange{{Element: h.Element, Ohms: open}}
	case WireHigh, LinkHigh:
		return []graphs.ElementChange{{Element: h.Element, Ohms: c.Elements[h.Element].Ohms + h.Ohms}}
	case PartValue:
		return []graphs.ElementChange{{Element: h.Element, Ohms: h.Ohms}}
	case LinkClosed:
		changes := []graphs.ElementChange{{Element: h.Element}}
		if h.Other >= 0 {
			changes = append(changes, graphs.ElementChange{Element: h.Other, Ohms: open})
		}
		return changes
	case Short:
		changes := []graphs.ElementChange{{Element: -1, A: h.A, B: h.B, Ohms: h.Ohms}}
		if h.Other >= 0 {
			changes = append(changes, graphs.ElementChange{Element: h.Other, Ohms: open})
		}
		return changes
	case JointOpen, JointHigh:
		return jointChanges(c, h)
	case Mirrored, Shifted, Moved:
		return landingChanges(c, h)
	case Swap:
		farA, farB := c.Far(h.Element, h.A), c.Far(h.Other, h.B)
		return []graphs.ElementChange{
			{Element: h.Element, Ohms: open}, {Element: h.Other, Ohms: open},
			{Element: -1, A: farA, B: h.B, Ohms: c.Elements[h.Element].Ohms},
			{Element: -1, A: farB, B: h.A, Ohms: c.Elements[h.Other].Ohms},
		}
	}
	return nil
}

// jointChanges takes the wires of one terminal off it: they stay joined to each
// other at the far end of the shortest of them, which is off by that wire's
// copper, and reach the terminal through the joint's resistance or not at all.
func jointChanges(c *graphs.Circuit, h Hypothesis) []graphs.ElementChange {
	wires := WiresAt(c, h.A)
	centre := wires[0]
	for _, id := range wires {
		if c.Elements[id].Ohms < c.Elements[centre].Ohms {
			centre = id
		}
	}
	hub := c.Far(centre, h.A)
	var changes []graphs.ElementChange
	for _, id := range wires {
		changes = append(changes, graphs.ElementChange{Element: id, Ohms: math.Inf(1)})
		if far := c.Far(id, h.A); id != centre && far != hub {
			changes = append(changes, graphs.ElementChange{Element: -1, A: hub, B: far, Ohms: c.Elements[id].Ohms + c.Elements[centre].Ohms})
		}
	}
	if h.Fault == JointHigh {
		changes = append(changes, graphs.ElementChange{Element: -1, A: h.A, B: hub, Ohms: c.Elements[centre].Ohms + h.Ohms})
	}
	return changes
}

// WiresAt returns the wires that are present at a terminal.
func WiresAt(c *graphs.Circuit, terminal int) []int {
	var wires []int
	for _, id := range c.Incident(terminal) {
		if e := c.Elements[id]; e.Kind == graphs.Wire && e.Present && e.A != e.B {
			wires = append(wires, int(id))
		}
	}
	return wires
}

// elements returns the elements that a hypothesis moves.
func (h Hypothesis) elements(c *graphs.Circuit) []int {
	switch h.Fault {
	case Short:
		return nil
	case JointOpen, JointHigh:
		return WiresAt(c, h.A)
	case Swap:
		return []int{h.Element, h.Other}
	case LinkClosed:
		if h.Other >= 0 {
			return []int{h.Element, h.Other}
		}
		return []int{h.Element}
	case Mirrored, Shifted:
		var wires []int
		for _, l := range h.Landings(c) {
			wires = append(wires, l.Wire)
		}
		return wires
	default:
		return []int{h.Element}
	}
}

// sight returns what an item's tips face if some hypotheses hold.
func sight(j *judge.Judge, item *Item, set ...Hypothesis) judge.Observed {
	var changes []graphs.ElementChange
	for _, h := range set {
		changes = append(changes, h.Changes(j.Rest)...)
	}
	if len(changes) == 0 {
		return item.Judgement.Sight
	}
	conditions := heldOpen(j, item.Reading.Conditions, set)
	lifted := map[int]bool{}
	for _, change := range j.Changes(conditions) {
		if change.Element >= 0 && math.IsInf(change.Ohms, 1) {
			lifted[change.Element] = true
		}
	}
	if len(lifted) > 0 {
		changes = withoutLifted(j.Rest, changes, set, lifted)
	}
	return faced(item, j.SightIf(item.Red, item.Black, conditions, changes), set...)
}

// heldOpen leaves out of conditions the positions of contacts that conduct in spite of
// them: what somebody holds open does not open a welded contact.
func heldOpen(j *judge.Judge, conditions model.Conditions, set []Hypothesis) model.Conditions {
	for _, h := range set {
		if h.Fault != LinkClosed {
			continue
		}
		conditions = slices.DeleteFunc(slices.Clone(conditions), func(c model.Condition) bool {
			if c.Kind != model.ContactOpen {
				return false
			}
			changes := j.Changes(model.Conditions{c})
			return len(changes) == 1 && changes[0].Element == h.Element
		})
	}
	return conditions
}

// faced is what an item's tips face where the network under some hypotheses was
// worked out already.
func faced(item *Item, seen judge.Observed, set ...Hypothesis) judge.Observed {
	if item.Judgement.Unmapped {
		seen.LeastOhms = 0
	}
	if base := item.Judgement.Sight; base.Decided() && !base.Metal && !seen.Metal && !math.IsInf(base.Ohms, 1) && !math.IsInf(seen.Ohms, 1) {
		// like is weighed against like: a reading of parts that agrees without
		// regard to electronics is weighed without regard to them
		seen.LeastOhms = seen.Ohms
	}
	seen.Round = item.Judgement.Sight.Metal && !seen.Metal
	for _, h := range set {
		switch h.Fault {
		case WireHigh, LinkHigh, JointHigh:
			seen.Metal = false // a bad joint is no steady metal: its value spreads like a part's
		}
	}
	return seen
}

// withoutLifted drops the new ways of wires that hang free in a reading's
// conditions.
func withoutLifted(c *graphs.Circuit, changes []graphs.ElementChange, set []Hypothesis, lifted map[int]bool) []graphs.ElementChange {
	dead := map[[2]int]bool{}
	for _, h := range set {
		for id, ends := range landed(c, h) {
			if lifted[id] {
				dead[ends] = true
			}
		}
		for _, id := range h.elements(c) {
			if !lifted[id] {
				continue
			}
			switch {
			case h.Fault == Swap && id == h.Element:
				dead[[2]int{c.Far(id, h.A), h.B}] = true
			case h.Fault == Swap:
				dead[[2]int{c.Far(id, h.B), h.A}] = true
			case h.Fault == JointOpen || h.Fault == JointHigh:
				far := c.Far(id, h.A)
				for _, other := range WiresAt(c, h.A) {
					dead[[2]int{c.Far(other, h.A), far}] = true
					dead[[2]int{far, c.Far(other, h.A)}] = true
				}
				dead[[2]int{h.A, far}] = true
			}
		}
	}
	kept := changes[:0:0]
	for _, change := range changes {
		if change.Element < 0 && dead[[2]int{change.A, change.B}] {
			continue
		}
		kept = append(kept, change)
	}
	return kept
}
