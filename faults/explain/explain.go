package explain

import (
	"cmp"
	"math"
	"slices"

	"bellout/assets"
	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// Explainer keeps the evidence of one machine and what it calls for. Add and
// Remove touch only what the reading concerns; Explain weighs again only the
// groups of readings that changed. It is not safe for use by several
// goroutines.
type Explainer struct {
	judge   *judge.Judge
	priors  assets.Priors
	touched map[model.TerminalRef]bool // by edits since readings began

	// Gap says of a surprising reading that it shows a hole in the map, not a
	// fault; nil: none does.
	Gap func(*Item) bool
	// Blamed are the elements by which the map joins nets that must not meet.
	Blamed map[int]bool

	items     map[int64]*Item
	surprises map[int64]*Item // of items: those to explain
	byNet     map[int][]int64 // by net at rest: the items with a tip or a clip in it
	proposals map[int64][]Hypothesis
	likely    map[likelyKey]float64
	onWay     map[int64][]int // by item that metal joins: the elements on its ways, rising
	conducts  *graphs.Blocks  // of metal and parts at rest; nil until needed
	solved    map[string]Explanation
}

type likelyKey struct {
	place  Place
	number int64
}

// Warm works out ahead of time what the first surprising reading would
// otherwise wait for. Cost: linear in the machine.
func (x *Explainer) Warm() {
	x.judge.Least()
	x.conducting()
	x.judge.Metal()
}

// New returns an explainer without evidence.
func New(j *judge.Judge, priors assets.Priors) *Explainer {
	x := &Explainer{
		judge: j, priors: priors, touched: map[model.TerminalRef]bool{},
		items: map[int64]*Item{}, surprises: map[int64]*Item{}, byNet: map[int][]int64{}, proposals: map[int64][]Hypothesis{},
		likely: map[likelyKey]float64{}, solved: map[string]Explanation{}, onWay: map[int64][]int{},
	}
	for _, t := range j.Machine.Touches {
		x.touched[t.A], x.touched[t.B] = true, true
	}
	return x
}

// Add takes an item in as evidence. Its reading's number must be its own.
func (x *Explainer) Add(item Item) {
	number := item.Reading.Number
	x.items[number] = &item
	if item.Surprising() && (x.Gap == nil || !x.Gap(&item)) {
		x.surprises[number] = &item
	}
	x.forget(&item)
	for _, net := range x.netsOf(&item) {
		x.byNet[net] = append(x.byNet[net], number)
	}
}

// forget drops the proposals that an item's conditions bear on: what was lifted
// or unplugged tells places apart.
func (x *Explainer) forget(item *Item) {
	if len(item.Reading.Conditions) == 0 {
		return
	}
	for _, net := range x.netsOf(item) {
		for _, number := range x.byNet[net] {
			delete(x.proposals, number)
		}
	}
}

// Remove takes an item out.
func (x *Explainer) Remove(number int64) {
	item, known := x.items[number]
	if !known {
		return
	}
	for _, net := range x.netsOf(item) {
		if at := slices.Index(x.byNet[net], number); at >= 0 {
			x.byNet[net] = slices.Delete(x.byNet[net], at, at+1)
		}
	}
	x.forget(item)
	delete(x.items, number)
	delete(x.surprises, number)
	delete(x.proposals, number)
	delete(x.onWay, number)
	for key := range x.likely {
		if key.number == number {
			delete(x.likely, key)
		}
	}
}

// netsOf returns the nets at rest that an item's tips and clips sit on.
func (x *Explainer) netsOf(item *Item) []int {
	of := x.judge.Rest.Nets().Of
	nets := []int{of[item.Red], of[item.Black]}
	for _, condition := range item.Reading.Conditions {
		for _, ref := range condition.ClippedRefs() {
			if t, found := x.judge.Machine.TerminalIndex(ref); found {
				nets = append(nets, of[t])
			}
		}
	}
	slices.Sort(nets)
	return slices.Compact(nets)
}

// Explanation is what one group of surprising readings calls for.
type Explanation struct {
	// Surprising are the numbers of the readings that had to be explained.
	Surprising []int64
	// Causes are the faults of the likeliest set, the surest first; none where
	// nothing that is known to go wrong makes the readings expected.
	Causes []Cause
	// Mistaken is the chance that nothing is wrong but the readings.
	Mistaken float64
	// Unexplained are those of Surprising that the set leaves surprising.
	Unexplained []int64

	suspicion Suspicion // all that was weighed
}

// Cause is one fault of an explanation.
type Cause struct {
	Hypothesis
	Confidence float64 // its chance, whatever its size; of a Short, wherever the two nets touch
	// Rivals are other faults that explain the same readings, the likeliest first:
	// each with its chance of being there and the cause not. With the cause's own
	// chance and Mistaken theirs sum to no more than 1.
	Rivals   []Rival
	Mistaken float64 // the chance that nothing is wrong but the readings
	Readings []int64 // the evidence, the deciding ones first
}

// Rival is a fault that could stand in a cause's place.
type Rival struct {
	Hypothesis
	Confidence float64
}

// Explain explains all surprising readings, group by group, in the order of
// their lowest numbers.
func (x *Explainer) Explain() []Explanation {
	var explanations []Explanation
	kept := map[string]Explanation{}
	for _, group := range x.groups() {
		key := group.key()
		explanation, known := x.solved[key]
		if !known {
			explanation = x.solve(group)
		}
		kept[key] = explanation
		explanations = append(explanations, explanation)
	}
	x.solved = kept
	return explanations
}

// surprising returns the items to explain, by number.
func (x *Explainer) surprising() []*Item {
	list := make([]*Item, 0, len(x.surprises))
	for _, item := range x.surprises {
		list = append(list, item)
	}
	slices.SortFunc(list, func(a, b *Item) int { return cmp.Compare(a.Reading.Number, b.Reading.Number) })
	return list
}

// logLikelihood returns the logarithm of how likely an item is under one
// hypothesis.
func (x *Explainer) logLikelihood(item *Item, h Hypothesis) float64 {
	key := likelyKey{h.Place, item.Reading.Number}
	if known, done := x.likely[key]; done {
		return known
	}
	value := x.base(item)
	if x.concerns(item, h) {
		value = math.Log(x.judge.Meter.Likelihood(item.Reading, sight(x.judge, item, h)))
	}
	x.likely[key] = value
	return value
}

// base is logLikelihood where nothing is wrong.
func (x *Explainer) base(item *Item) float64 {
	return math.Log(x.judge.Meter.Likelihood(item.Reading, item.Judgement.Sight))
}

// compare orders places as people read them.
func (x *Explainer) compare(p, q Place) int {
	if order := cmp.Compare(faultOrder(p.Fault), faultOrder(q.Fault)); order != 0 {
		return order
	}
	if order := model.Compare(x.nameOf(p), x.nameOf(q)); order != 0 {
		return order
	}
	if order := cmp.Compare(p.Step, q.Step); order != 0 {
		return order
	}
	if p.Round != q.Round {
		if q.Round {
			return -1
		}
		return 1
	}
	return cmp.Compare(p.Band, q.Band)
}

var faults = []Fault{WireOpen, WireHigh, LinkOpen, LinkHigh, JointOpen, JointHigh, LoadOpen, Mirrored, Shifted, Swap, Moved, Short, LinkClosed, PartValue}

func faultOrder(f Fault) int { return slices.Index(faults, f) }

// nameOf returns a name that is a place's own.
func (x *Explainer) nameOf(p Place) string {
	name := ""
	for _, id := range []int{p.Element, p.Other} {
		if id >= 0 {
			name += x.ElementName(id) + " "
		}
	}
	for _, t := range []int{p.A, p.B} {
		if t >= 0 {
			name += x.judge.Rest.Ref(t).String() + " "
		}
	}
	return name
}

// ElementName names a wire by its name and a link by its place.
func (x *Explainer) ElementName(id int) string {
	e := x.judge.Rest.Elements[id]
	if id < len(x.judge.Machine.Wires) {
		return x.judge.Machine.Wires[e.Row].Name
	}
	return x.judge.Machine.Links[e.Row].Place()
}
