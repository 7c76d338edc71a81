package judge

import (
	"math"
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// mostViews is how many circuits of conditions are kept.
const mostViews = 24

// Sight returns what a meter faces between two terminals under conditions.
func (j *Judge) Sight(red, black int, conditions model.Conditions) Observed {
	changes := j.Changes(conditions)
	return Observed{Prediction: j.Rest.PredictIf(red, black, changes), Metal: j.Joins(red, black, changes)}
}

// firmSight is Sight with nothing undecided: what electronics, diodes and
// capacitors could do costs far more to find out, and where a reading agrees
// without them it does not matter.
func (j *Judge) firmSight(red, black int, conditions model.Conditions) Observed {
	changes := j.Changes(conditions)
	sight := Observed{Metal: j.Joins(red, black, changes)}
	sight.Ohms = j.Rest.OhmsIf(red, black, changes)
	sight.LeastOhms = sight.Ohms
	return sight
}

// OhmsIf returns the ohms between two terminals under conditions, if the changes
// held besides, with every undecided element open.
func (j *Judge) OhmsIf(red, black int, conditions model.Conditions, changes []graphs.ElementChange) float64 {
	return j.Rest.OhmsIf(red, black, merge(j.Changes(conditions), changes))
}

// SightIf returns what a meter faces between two terminals under conditions, if
// the changes held besides. What undecided elements could do is bounded without
// regard to the direction of diodes.
func (j *Judge) SightIf(red, black int, conditions model.Conditions, changes []graphs.ElementChange) Observed {
	all := changes
	if len(conditions) > 0 {
		all = merge(j.Changes(conditions), changes)
	}
	var sight Observed
	sight.Ohms = j.Rest.OhmsIf(red, black, all)
	sight.LeastOhms = sight.Ohms
	sight.Metal = j.Joins(red, black, all)
	if least := j.Least(); least != nil && !sight.Metal && sight.Ohms > MetalBelowOhms/10 {
		sight.LeastOhms = math.Min(sight.Ohms, least.OhmsIf(red, black, all))
	}
	return sight
}

// SightsIf returns SightIf for several pairs of tips at rest.
func (j *Judge) SightsIf(pairs [][2]int, changes []graphs.ElementChange) []Observed {
	sights := make([]Observed, len(pairs))
	var doubtful [][2]int
	var places []int // of those in sights
	least := j.Least()
	for i, ohms := range j.Rest.OhmsBetween(pairs, changes) {
		sights[i] = Observed{Prediction: graphs.Prediction{Ohms: ohms, LeastOhms: ohms}, Metal: j.Joins(pairs[i][0], pairs[i][1], changes)}
		if least != nil && !sights[i].Metal && ohms > MetalBelowOhms/10 {
			doubtful, places = append(doubtful, pairs[i]), append(places, i)
		}
	}
	if len(doubtful) > 0 {
		for k, ohms := range least.OhmsBetween(doubtful, changes) {
			sights[places[k]].LeastOhms = math.Min(sights[places[k]].Ohms, ohms)
		}
	}
	return sights
}

// merge puts changes after those of conditions. What a condition has open stays
// open whatever the hypothesis says; what it has closed may fail all the same:
// a contact in the position noted may be worn.
func merge(under, changes []graphs.ElementChange) []graphs.ElementChange {
	merged := slices.Clone(under)
	for _, change := range changes {
		noted := -1
		if change.Element >= 0 {
			noted = slices.IndexFunc(under, func(c graphs.ElementChange) bool { return c.Element == change.Element })
		}
		switch {
		case noted < 0:
			merged = append(merged, change)
		case !math.IsInf(under[noted].Ohms, 1):
			merged[noted] = change
		}
	}
	return merged
}

// Changes returns what conditions change in the circuit at rest, each element
// once.
func (j *Judge) Changes(conditions model.Conditions) []graphs.ElementChange {
	var changes []graphs.ElementChange
	seen := map[int]int{}
	set := func(element int, ohms float64) {
		if at, known := seen[element]; known {
			changes[at].Ohms = ohms
			return
		}
		// noted even where it is as at rest, so that no hypothesis moves it
		seen[element] = len(changes)
		changes = append(changes, graphs.ElementChange{Element: element, Ohms: ohms})
	}
	for _, condition := range conditions {
		switch condition.Kind {
		case model.Lifted:
			if row, found := j.Machine.WireIndex(condition.Wire); found {
				set(row, math.Inf(1))
			}
		case model.Unplugged:
			for _, row := range j.linksOf[condition.Device] {
				set(j.Rest.LinkElement(row), math.Inf(1))
			}
		case model.ContactOpen, model.ContactClosed:
			row, found := j.linkMeant(condition)
			switch {
			case !found:
			case condition.Kind == model.ContactOpen:
				set(j.Rest.LinkElement(row), math.Inf(1))
			default:
				set(j.Rest.LinkElement(row), j.Rest.Elements[j.Rest.LinkElement(row)].Ohms)
			}
		case model.Clipped:
			refs := condition.ClippedRefs()
			for i := 1; i < len(refs); i++ {
				a, foundA := j.Machine.TerminalIndex(refs[0])
				b, foundB := j.Machine.TerminalIndex(refs[i])
				if foundA && foundB && a != b {
					changes = append(changes, graphs.ElementChange{Element: -1, A: a, B: b})
				}
			}
		}
	}
	return changes
}

// linkMeant returns the link that an open or closed condition is about: where
// several lie between the two marks the contact, else the first of
// model.LinkKinds.
func (j *Judge) linkMeant(condition model.Condition) (row int, found bool) {
	best := len(model.LinkKinds)
	for _, candidate := range j.linksOf[condition.Device] {
		link := j.Machine.Links[candidate]
		straight := link.From == condition.From && link.To == condition.To
		if !straight && (link.From != condition.To || link.To != condition.From) {
			continue
		}
		order := slices.Index(model.LinkKinds, link.Kind)
		if link.Kind == model.LinkContact {
			order = -1
		}
		if order < best {
			best, row, found = order, candidate, true
		}
	}
	return row, found
}

// View returns the circuit under conditions; the last few are kept.
func (j *Judge) View(conditions model.Conditions) *graphs.Circuit {
	if len(conditions) == 0 {
		return j.Rest
	}
	key := conditions.String()
	if view, known := j.views[key]; known {
		return view
	}
	view := j.Rest.Under(conditions)
	if len(j.viewOrder) == mostViews {
		delete(j.views, j.viewOrder[0])
		j.viewOrder = j.viewOrder[1:]
	}
	j.views[key] = view
	j.viewOrder = append(j.viewOrder, key)
	return view
}

// Least returns the circuit at rest with every undecided element as metal, made
// when first needed; nil if there is none.
func (j *Judge) Least() *graphs.Circuit {
	if !j.leastMade {
		j.leastMade = true
		j.least = leastCircuit(j.Rest)
	}
	return j.least
}

// leastCircuit returns the circuit with every undecided element as metal; nil
// if it has none.
func leastCircuit(c *graphs.Circuit) *graphs.Circuit {
	var undecided []int
	for id, e := range c.Elements {
		switch e.Kind {
		case graphs.Diode, graphs.Capacitance, graphs.Electronic:
			if e.Present {
				undecided = append(undecided, id)
			}
		}
	}
	if len(undecided) == 0 {
		return nil
	}
	// a circuit made anew: nothing of it is computed yet, so its elements may
	// still be set
	least := graphs.NewCircuit(c.Machine, c.Conditions)
	for _, id := range undecided {
		least.Elements[id].Kind = graphs.Solid
		least.Elements[id].Ohms = 0
	}
	return least
}

// Metal returns the blocks of the metal at rest.
func (j *Judge) Metal() *graphs.Blocks {
	if j.metal == nil {
		j.metal = j.Rest.Blocks(graphs.Element.Joins)
	}
	return j.metal
}

// walkJoins is Joins by walking the metal. Cost: the nets of the terminals.
func walkJoins(c *graphs.Circuit, a, b int, changes []graphs.ElementChange) bool {
	over := overlay(c, changes)
	seen := map[int]bool{a: true}
	queue := []int{a}
	for len(queue) > 0 {
		t := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		if t == b {
			return true
		}
		over.each(t, func(far int) {
			if !seen[far] {
				seen[far] = true
				queue = append(queue, far)
			}
		})
	}
	return false
}

// joins is a circuit's metal with changes laid over it.
type joins struct {
	c     *graphs.Circuit
	state map[int]bool  // by element: conducts as metal
	added map[int][]int // by terminal: where added paths of metal lead
}

func overlay(c *graphs.Circuit, changes []graphs.ElementChange) joins {
	over := joins{c: c, state: map[int]bool{}, added: map[int][]int{}}
	for _, change := range changes {
		switch {
		case change.Element >= 0:
			over.state[change.Element] = !math.IsInf(change.Ohms, 1) && c.Elements[change.Element].Kind.Metal()
		case !math.IsInf(change.Ohms, 1):
			over.added[change.A] = append(over.added[change.A], change.B)
			over.added[change.B] = append(over.added[change.B], change.A)
		}
	}
	return over
}

// each calls visit with every terminal that metal joins to t directly.
func (o joins) each(t int, visit func(far int)) {
	for _, id := range o.c.Incident(t) {
		conducts, changed := o.state[int(id)]
		if !changed {
			conducts = o.c.Elements[id].Joins()
		}
		if conducts {
			visit(o.c.Far(int(id), t))
		}
	}
	for _, far := range o.added[t] {
		visit(far)
	}
}
