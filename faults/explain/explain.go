package explain

import (
	"cmp"
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
	netsOf    map[int64][]int // by item: those nets
	voices    map[Place]*voice
	came      map[int][]int64 // by net: the items that came or went, in turn
	explained []Explanation   // as of now; nil after a change
	solved    map[string]Explanation

	// What follows from the map and from what a reading says, whoever took it and
	// when: kept when a reading goes, for it often comes back.
	saidAs    map[string]int // by what a reading says: its number here
	proposals map[int][]Hypothesis
	likely    map[likelyKey]kept
	jointly   map[jointKey]kept
	onWay     map[int][]int       // of what metal joins: the elements on its ways, rising
	landed    map[Place][]Landing // see landings
	placeIDs  map[Place]int32
	earlier   *earlier        // see Follow
	conducts  *graphs.Blocks  // of metal and parts at rest; nil until needed
	parts     map[[2]int]bool // pairs of nets that a part joins; nil until needed
}

type likelyKey struct {
	place Place
	said  int
}

// jointKey is a set of places and a reading.
type jointKey struct {
	places string // of their ids, four bytes each, rising
	said   int
}

// mostKept is how many likelihoods are kept at most.
const mostKept = 1 << 20

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
		items: map[int64]*Item{}, surprises: map[int64]*Item{}, byNet: map[int][]int64{}, netsOf: map[int64][]int{},
		voices: map[Place]*voice{}, came: map[int][]int64{}, solved: map[string]Explanation{},
		saidAs: map[string]int{}, proposals: map[int][]Hypothesis{}, likely: map[likelyKey]kept{}, jointly: map[jointKey]kept{},
		onWay: map[int][]int{}, placeIDs: map[Place]int32{}, landed: map[Place][]Landing{},
	}
	for _, t := range j.Machine.Touches {
		x.touched[t.A], x.touched[t.B] = true, true
	}
	return x
}

// Add takes an item in as evidence. Its reading's number must be its own.
func (x *Explainer) Add(item Item) {
	number := item.Reading.Number
	x.name(&item)
	x.items[number] = &item
	if item.Surprising() && (x.Gap == nil || !x.Gap(&item)) {
		x.surprises[number] = &item
	}
	nets := x.netsAt(&item)
	x.netsOf[number] = nets
	x.forget(&item)
	for _, net := range nets {
		x.byNet[net] = append(x.byNet[net], number)
		x.came[net] = append(x.came[net], number)
	}
	x.explained = nil
}

// name gives an item the number of what it says.
func (x *Explainer) name(item *Item) {
	item.words = item.text()
	r := item.Reading
	key := r.Red.String() + " " + r.Black.String() + " " + item.words
	said, known := x.saidAs[key]
	if !known {
		said = len(x.saidAs)
		x.saidAs[key] = said
	}
	item.said = said
}

// forget drops the proposals that an item's conditions bear on: what was lifted
// or unplugged tells places apart.
func (x *Explainer) forget(item *Item) {
	if len(item.Reading.Conditions) == 0 {
		return
	}
	delete(x.proposals, item.said)
	for _, net := range x.netsOf[item.Reading.Number] {
		for _, number := range x.byNet[net] {
			delete(x.proposals, x.items[number].said)
		}
	}
}

// Remove takes an item out.
func (x *Explainer) Remove(number int64) {
	item, known := x.items[number]
	if !known {
		return
	}
	for _, net := range x.netsOf[number] {
		if at := slices.Index(x.byNet[net], number); at >= 0 {
			x.byNet[net] = slices.Delete(x.byNet[net], at, at+1)
		}
		x.came[net] = append(x.came[net], number)
	}
	x.forget(item)
	delete(x.items, number)
	delete(x.surprises, number)
	delete(x.netsOf, number)
	x.explained = nil
}

// netsAt returns the nets at rest that an item's tips and clips sit on.
func (x *Explainer) netsAt(item *Item) []int {
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
// their lowest numbers. The list is the explainer's own.
func (x *Explainer) Explain() []Explanation {
	if x.explained != nil {
		return x.explained
	}
	kept := map[string]Explanation{}
	groups := x.groups()
	explanations := x.solveEach(groups, kept)
	for range mostMerges {
		merged := x.merge(groups, explanations)
		if merged == nil {
			break
		}
		groups = merged
		explanations = x.solveEach(groups, kept)
	}
	x.solved, x.explained = kept, explanations
	return explanations
}

// mostMerges is how often groups are looked through for what explains another.
const mostMerges = 3

// solveEach explains groups; what was explained before is not again.
func (x *Explainer) solveEach(groups []*group, kept map[string]Explanation) []Explanation {
	explanations := make([]Explanation, 0, len(groups))
	for _, group := range groups {
		key := x.keyOf(group)
		explanation, known := x.solved[key]
		if !known {
			explanation, known = kept[key]
		}
		if !known {
			explanation = x.solve(group)
		}
		kept[key] = explanation
		explanations = append(explanations, explanation)
	}
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

// likelihood returns what an item tells under one hypothesis.
func (x *Explainer) likelihood(item *Item, h Hypothesis) told {
	key := likelyKey{h.Place, item.said}
	if known, done := x.likely[key]; done {
		return known.told
	}
	value := kept{told: x.base(item)}
	if x.concerns(item, h) {
		before, holds := x.earlier.told(x, item, h)
		if value = before; !holds {
			value = x.weigh(item, h)
			value.concerned = true
		}
	}
	if len(x.likely) >= mostKept {
		clear(x.likely)
	}
	x.likely[key] = value
	return value.told
}

// base is likelihood where nothing is wrong.
func (x *Explainer) base(item *Item) told { return x.tell(item, item.Judgement.Sight) }

// gain is by how many nats a hypothesis makes an item likelier.
func (x *Explainer) gain(item *Item, h Hypothesis) float64 {
	return x.likelihood(item, h).log - x.base(item).log
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
		return x.judge.Machine.Wires[id].Name
	}
	return x.judge.Machine.Links[e.Row].Place()
}
