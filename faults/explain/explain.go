package explain

import (
	"cmp"
	"slices"

	"bellout/assets"
	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// Explainer says what the readings of one machine call for. It is not safe for
// use by several goroutines.
type Explainer struct {
	judge   *judge.Judge
	priors  assets.Priors
	blamed  map[int]bool               // elements by which the map joins nets that must not meet
	touched map[model.TerminalRef]bool // by edits since readings began

	items     map[int64]*Item // by number of the reading
	surprises []*Item         // those to explain, by number
	byNet     map[int][]int64 // by net at rest: the items with a tip or a clip in it
	explained []Explanation   // nil until asked for

	// Worked out once, when first asked for.
	testimonies map[Place]*testimony
	proposals   map[int][]Hypothesis // by what a reading says
	likely      map[likelyKey]evidenceOf
	jointly     map[jointKey]evidenceOf
	onWay       map[int][]int       // of what metal joins: the elements on its ways, rising
	landed      map[Place][]Landing // see landings
	placeIDs    map[Place]int32
	conducts    *graphs.Blocks  // of metal and parts at rest
	parts       map[[2]int]bool // pairs of nets that a part joins
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

// New returns an explainer of items, each with a reading of its own number. The
// blamed are the elements by which the map joins nets that must not meet.
func New(j *judge.Judge, priors assets.Priors, blamed map[int]bool, items []Item) *Explainer {
	x := &Explainer{
		judge: j, priors: priors, blamed: blamed, touched: map[model.TerminalRef]bool{},
		items: make(map[int64]*Item, len(items)), byNet: map[int][]int64{},
		testimonies: map[Place]*testimony{}, proposals: map[int][]Hypothesis{}, likely: map[likelyKey]evidenceOf{}, jointly: map[jointKey]evidenceOf{},
		onWay: map[int][]int{}, placeIDs: map[Place]int32{}, landed: map[Place][]Landing{},
	}
	for _, t := range j.Machine.Touches {
		x.touched[t.A], x.touched[t.B] = true, true
	}
	saidAs := map[string]int{}
	for i := range items {
		item := &items[i]
		number := item.Reading.Number
		x.items[number] = item
		item.words = item.text()
		key := item.Reading.Red.String() + " " + item.Reading.Black.String() + " " + item.words
		said, known := saidAs[key]
		if !known {
			said = len(saidAs)
			saidAs[key] = said
		}
		item.said = said
		if item.Surprising() && !item.Gap {
			x.surprises = append(x.surprises, item)
		}
		for _, net := range x.netsAt(item) {
			x.byNet[net] = append(x.byNet[net], number)
		}
	}
	slices.SortFunc(x.surprises, func(a, b *Item) int { return cmp.Compare(a.Reading.Number, b.Reading.Number) })
	return x
}

// Blamed says whether the map joins nets that must not meet by an element.
func (x *Explainer) Blamed(element int) bool { return x.blamed[element] }

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
	groups := x.groups()
	for merges := 0; ; merges++ {
		for _, g := range groups {
			if g.explanation == nil {
				explanation := x.solve(g)
				g.explanation = &explanation
			}
		}
		if merges == mostMerges {
			break
		}
		merged := x.merge(groups)
		if merged == nil {
			break
		}
		groups = merged
	}
	x.explained = make([]Explanation, len(groups))
	for i, g := range groups {
		x.explained[i] = *g.explanation
	}
	return x.explained
}

// mostMerges is how often groups are looked through for what explains another.
const mostMerges = 3

// likelihood returns what an item tells under one hypothesis.
func (x *Explainer) likelihood(item *Item, h Hypothesis) evidenceOf {
	key := likelyKey{h.Place, item.said}
	if known, done := x.likely[key]; done {
		return known
	}
	value := x.base(item)
	if x.concerns(item, h) {
		value = x.weigh(item, h)
		value.concerned = true
	}
	if len(x.likely) >= mostKept {
		clear(x.likely)
	}
	x.likely[key] = value
	return value
}

// weigh works out what an item tells under some hypotheses.
func (x *Explainer) weigh(item *Item, set ...Hypothesis) evidenceOf {
	return x.tell(item, sight(x.judge, item, set...))
}

// base is likelihood where nothing is wrong.
func (x *Explainer) base(item *Item) evidenceOf { return x.tell(item, item.Judgement.Sight) }

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
