package explain

import (
	"math"
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// A wire that lets go and one that conducts badly read much alike in place where
// parts lie beside it that the map knows to a fifth only. Lifted, it tells: what
// is read then is the parts alone, whatever they have. If it is what was read in
// place the wire did nothing.

// lift is two items with the same tips, one of them with a wire lifted besides.
type lift struct {
	wire          int
	place, lifted *Item // the wire in place, and lifted
}

// liftsOf returns the pairs among some items.
func (x *Explainer) liftsOf(items []*Item) []lift {
	var list []lift
	for _, item := range items {
		if !item.sized() || len(item.Reading.Conditions) == 0 {
			continue
		}
		for at, condition := range item.Reading.Conditions {
			if condition.Kind != model.Lifted {
				continue
			}
			wire, found := x.judge.Machine.WireIndex(condition.Wire)
			if !found || x.kind(wire) != graphs.Wire {
				continue
			}
			rest := model.NewConditions(slices.Delete(slices.Clone(item.Reading.Conditions), at, at+1)...).String()
			for _, other := range items {
				same := other.Red == item.Red && other.Black == item.Black || other.Red == item.Black && other.Black == item.Red
				if same && other.sized() && other.Reading.Conditions.String() == rest {
					list = append(list, lift{wire, other, item})
				}
			}
		}
	}
	return list
}

// mostLiftNats bounds what one pair says: a tip that slips spoils it.
const mostLiftNats = 8.0

// against returns by how many nats a pair speaks against what a set says of its
// wire: open, or with so many ohms too much.
func (l lift) against(x *Explainer, set []Hypothesis) float64 {
	lead := x.judge.Meter.LeadOhms
	inPlace, alone := l.place.Reading.Value.Number-lead, l.lifted.Reading.Value.Number-lead
	if inPlace <= 0 || alone <= 0 {
		return 0
	}
	for _, h := range set {
		if h.Element != l.wire {
			continue
		}
		expected := alone
		switch h.Fault {
		case WireHigh:
			expected = alone * h.Ohms / (alone + h.Ohms)
		case WireOpen:
		default:
			continue
		}
		z := math.Log(inPlace/expected) / liftSpread(inPlace)
		if h.Fault == WireHigh {
			z = math.Log(inPlace/expected) / math.Hypot(liftSpread(inPlace), 1.0/bandsPerE)
		}
		return math.Min(z*z/2, mostLiftNats)
	}
	return 0
}

// liftSpread is how far, as a logarithm, two readings of one thing differ: a
// hundredth or two, and some hundredths of an ohm of the tips. Judgement.
func liftSpread(ohms float64) float64 { return math.Hypot(0.02, 0.08/ohms) }

// liftedSize returns the ohms that a wire has by a pair of readings, one in place
// and one with the wire lifted; false where it had no part in the first.
func (x *Explainer) liftedSize(item *Item, wire int) (ohms float64, found bool) {
	lead := x.judge.Meter.LeadOhms
	for _, net := range x.netsAt(item) {
		items := []*Item{item}
		for _, number := range x.byNet[net] {
			items = append(items, x.items[number])
		}
		for _, l := range x.liftsOf(items) {
			if l.wire != wire || l.place.said != item.said {
				continue
			}
			inPlace, alone := item.Reading.Value.Number-lead, l.lifted.Reading.Value.Number-lead
			if inPlace > 0 && math.Log(alone/inPlace) > 3*liftSpread(inPlace) {
				return inPlace * alone / (alone - inPlace), true
			}
		}
	}
	return 0, false
}
