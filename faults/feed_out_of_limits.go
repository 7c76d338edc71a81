package faults

import (
	"cmp"
	"math"
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// misfeed is a feed that stands on volts outside its limits.
type misfeed struct {
	load     int // place in Parts.Loads
	supply   int // place in Parts.Supplies
	volts    float64
	reversed bool // the volts have the other sign than the load's
	switched bool // only a contact that is open at rest leads there
	behind   bool // only a diode leads there
}

// side says where volts lie against a load's limits.
type side int

const (
	within side = iota
	above       // beyond the limit that destroys, or of the wrong sign
	below       // short of what the load needs
)

// judgeVolts compares volts with a load's limits. For a load of negative volts
// "above" means more negative. The wrong sign counts as above: it destroys.
func judgeVolts(load graphs.Load, volts float64) (where side, reversed bool) {
	low, high := math.Inf(-1), math.Inf(1)
	if load.MinVolts.Known {
		low = load.MinVolts.Value
	}
	if load.MaxVolts.Known {
		high = load.MaxVolts.Value
	}
	if load.Volts.Known && load.Volts.Value < 0 || !load.Volts.Known && high <= 0 {
		low, high, volts = -high, -low, -volts
	}
	const slack = 1e-9 // 1.1 times 12 is not quite 13.2 in binary
	switch {
	case volts > high+slack*math.Abs(high):
		return above, false
	case volts < low-slack*math.Abs(low) && volts < 0 && low >= 0:
		return above, true
	case volts < low-slack*math.Abs(low):
		return below, false
	default:
		return within, false
	}
}

// nominalVolts returns what a load's feed gets from a supply, by the labels.
// A load between rails of opposite sign gets the sum of the two, and so does one
// across supplies in series; one whose return is on the rail too gets nothing from
// it.
func (w *wiring) nominalVolts(load graphs.Load, supply int) (float64, bool) {
	volts := w.b.Parts.Supplies[supply].Volts
	if !volts.Known {
		return 0, false
	}
	for _, t := range load.Returns {
		if w.net(t) == w.net(w.b.Parts.Supplies[supply].Rail) {
			return 0, false
		}
		for _, other := range w.rails[w.net(t)] {
			opposite := w.b.Parts.Supplies[other].Volts
			if opposite.Known && opposite.Value*volts.Value < 0 && w.b.MayBeCommon(w.b.groundOfSupply[other], w.b.groundOfSupply[supply]) {
				return volts.Value - opposite.Value, true
			}
		}
	}
	if _, more, stacked := w.b.stackedOn(load.Returns, supply); stacked {
		return volts.Value + more, true
	}
	return volts.Value, true
}

// everyPosition returns the supplies whose volts a feed has in some position of
// the contacts; see positions.
func (w *wiring) everyPosition(feed int) []int {
	if w.positions == nil {
		w.positions = w.b.findPositions()
	}
	return w.positions.found[w.positions.r.piece[feed]]
}

// misfeeds finds every feed whose volts lie on the given side of its limits,
// grouped by what put them there: one group, one cause.
func (w *wiring) misfeeds(want side) []misfeedGroup {
	bySupply := map[int][]misfeed{}
	for i, load := range w.b.Parts.Loads {
		if !load.MinVolts.Known && !load.MaxVolts.Known {
			continue
		}
		standing := w.atRest(w.net(load.Feed))
		for _, supply := range w.everyPosition(load.Feed) {
			volts, known := w.nominalVolts(load, supply)
			if !known {
				continue
			}
			if where, reversed := judgeVolts(load, volts); where == want && !(want == below && w.heldUp(supply)) {
				bySupply[supply] = append(bySupply[supply], misfeed{
					load: i, supply: supply, volts: volts, reversed: reversed, switched: !slices.Contains(standing, supply),
				})
			}
		}
	}
	if want == above {
		w.liftedFeeds(bySupply)
	}
	var groups []misfeedGroup
	grouped := map[int]bool{} // loads: two rails of one device on one net are one cause
	for _, supply := range sortedKeys(bySupply) {
		feeds := slices.DeleteFunc(bySupply[supply], func(f misfeed) bool { return grouped[f.load] })
		for _, f := range feeds {
			grouped[f.load] = true
		}
		groups = append(groups, w.groupByCause(supply, feeds, want)...)
	}
	slices.SortStableFunc(groups, func(x, y misfeedGroup) int {
		loads := w.b.Parts.Loads
		return model.CompareRefs(w.c.Ref(loads[x.feeds[0].load].Feed), w.c.Ref(loads[y.feeds[0].load].Feed))
	})
	return groups
}

// diodeVolts is what a diode in a feed drops at the least of its current, so that
// what is behind it gets this much less: silicon under load (common practice).
const diodeVolts = 0.7

// liftedFeeds adds the feeds that a supply lifts too high through diodes. Behind
// diodes the highest volts are what counts.
func (w *wiring) liftedFeeds(bySupply map[int][]misfeed) {
	for i, load := range w.b.Parts.Loads {
		if !load.MinVolts.Known && !load.MaxVolts.Known {
			continue
		}
		direct := w.everyPosition(load.Feed)
		highest := misfeed{supply: -1}
		for _, supply := range w.positions.behind[w.positions.r.piece[load.Feed]] {
			volts, known := w.nominalVolts(load, supply)
			volts -= math.Copysign(min(diodeVolts, math.Abs(volts)), volts)
			if where, reversed := judgeVolts(load, volts); known && where == above && math.Abs(volts) > math.Abs(highest.volts) && !slices.Contains(direct, supply) {
				highest = misfeed{load: i, supply: supply, volts: volts, reversed: reversed, behind: true}
			}
		}
		if highest.supply >= 0 {
			bySupply[highest.supply] = append(bySupply[highest.supply], highest)
		}
	}
}

// heldUp says whether another supply of more volts stands on a supply's rail: a
// load there gets those.
func (w *wiring) heldUp(supply int) bool {
	own := w.b.Parts.Supplies[supply]
	return slices.ContainsFunc(w.b.SuppliesAt(w.b.NetOf(own.Rail)), func(other int) bool {
		volts := w.b.Parts.Supplies[other].Volts
		return volts.Known && math.Abs(volts.Value) > math.Abs(own.Volts.Value)
	})
}

// misfeedGroup is all feeds that one cause puts on the wrong volts.
type misfeedGroup struct {
	feeds []misfeed
	// whole: nothing on the rail is content with it, so the rail itself is wrong.
	whole bool
	// alone: a wire leads to the feeds and to nothing that is content.
	alone bool
	// culprit is the one wire by which all of them hang on the rail; -1 where
	// no single wire does.
	culprit int
	// shared is the link that all of them hang by where no wire is; -1: none.
	shared int
	// wires lead from the feeds up towards the place where content loads join,
	// the feed's own first.
	wires []int
}

// groupByCause finds what the feeds of one supply hang by: the topmost bridge
// beyond which no load is content.
func (w *wiring) groupByCause(supply int, feeds []misfeed, want side) []misfeedGroup {
	if len(feeds) == 0 {
		return nil
	}
	tr := growTree(w.b.Parts.Supplies[supply].Rail, w.downstream(supply))
	bad, good := make([]int, len(tr.at)), make([]int, len(tr.at))
	for _, load := range w.b.Parts.Loads {
		node, here := tr.place[load.Feed]
		if !here || !load.MinVolts.Known && !load.MaxVolts.Known {
			continue
		}
		if volts, known := w.nominalVolts(load, supply); known {
			if where, _ := judgeVolts(load, volts); where != want {
				good[node]++
			}
		}
	}
	for _, f := range feeds {
		if node, here := tr.place[w.b.Parts.Loads[f.load].Feed]; here {
			bad[node]++
		}
	}
	sumUp(tr, bad)
	sumUp(tr, good)

	top := make([]int, len(tr.at)) // the topmost bridge that only bad feeds hang by; -1: none
	for node := range tr.at {
		top[node] = -1
		switch {
		case node == 0:
		case top[tr.up[node]] >= 0:
			top[node] = top[tr.up[node]]
		case tr.bridge(node) && good[node] == 0:
			top[node] = node
		}
	}
	byCause := map[int][]misfeed{}
	for i, f := range feeds {
		node, here := tr.place[w.b.Parts.Loads[f.load].Feed]
		switch {
		case !here || good[0] > 0 && top[node] < 0:
			byCause[-2-i] = append(byCause[-2-i], f) // its own cause
		case good[0] == 0 && bad[0] > 1:
			byCause[-1] = append(byCause[-1], f) // the rail itself
		default:
			byCause[top[node]] = append(byCause[top[node]], f)
		}
	}
	var groups []misfeedGroup
	for _, key := range sortedKeys(byCause) {
		group := misfeedGroup{feeds: byCause[key], whole: key == -1 && len(byCause[key]) > 1, alone: key >= 0, culprit: -1, shared: -1}
		w.sortFeeds(group.feeds)
		if len(group.feeds) > 1 && key >= 0 {
			if group.culprit = w.topWire(tr, key, bad); group.culprit < 0 && tr.via[key] >= 0 {
				group.shared = tr.via[key]
			}
		}
		upTo := key
		if len(group.feeds) > 1 {
			upTo = -1 // each feed's own wire tells enough
		}
		for _, f := range group.feeds {
			group.wires = append(group.wires, w.wiresUp(tr, w.b.Parts.Loads[f.load].Feed, upTo)...)
		}
		if len(group.feeds) == 1 && w.suitsOtherwise(group.feeds[0]) {
			if wire := w.wireBeyondContact(tr, w.b.Parts.Loads[group.feeds[0].load].Feed, key); wire >= 0 {
				group.wires = eachOnce(append([]int{wire}, group.wires...))
			}
		}
		groups = append(groups, group)
	}
	return groups
}

// downstream lists the ways on from a terminal that a supply's volts can take:
// metal, contacts in any position towards what has no volts of its own, and from
// a driver's feed to the outputs that it switches.
func (w *wiring) downstream(supply int) func(int, []step) []step {
	reaches := func(terminal int) bool { return slices.Contains(w.everyPosition(terminal), supply) }
	return func(terminal int, list []step) []step {
		for _, id := range w.c.Incident(terminal) {
			far := w.c.Far(int(id), terminal)
			if w.passable(int(id)) && reaches(far) {
				list = append(list, step{int(id), far})
			}
		}
		for _, driver := range w.driversAt[terminal] {
			drive := w.b.Parts.Drivers[driver].Drive
			if reaches(drive) && !w.b.reach.ends[w.b.reach.piece[drive]] {
				list = append(list, step{-2 - driver, drive})
			}
		}
		return list
	}
}

// topWire returns the first wire below a bridge through which all its bad
// feeds still hang, the bridge itself if it is a wire; -1 if there is none.
func (w *wiring) topWire(tr *tree, node int, bad []int) int {
	for all := bad[node]; ; {
		if id := tr.via[node]; id >= 0 && id < len(w.c.Elements) && w.c.Elements[id].Kind == graphs.Wire {
			return id
		}
		next := -1
		for child := node + 1; child < tr.end[node]; child = tr.end[child] {
			if bad[child] == all && tr.bridge(child) {
				next = child
			}
		}
		if next < 0 {
			return -1
		}
		node = next
	}
}

// wiresUp returns the wires from a feed up to the bridge that is its cause,
// the feed's own first; only its own where there is no such bridge.
func (w *wiring) wiresUp(tr *tree, feed, cause int) []int {
	var wires []int
	node, here := tr.place[feed]
	for here && node > 0 {
		if id := tr.via[node]; id >= 0 && w.c.Elements[id].Kind == graphs.Wire {
			wires = append(wires, id)
			if cause < 0 {
				return wires
			}
		}
		if node == cause {
			break
		}
		node = tr.up[node]
	}
	if len(wires) == 0 {
		wires = w.wiresAt(feed)
	}
	return wires
}

// suitsOtherwise says whether a feed stands on volts that suit it in another
// position of the contacts: then not its own wire is wrong, but the throw.
func (w *wiring) suitsOtherwise(f misfeed) bool {
	load := w.b.Parts.Loads[f.load]
	return slices.ContainsFunc(w.everyPosition(load.Feed), func(supply int) bool {
		volts, known := w.nominalVolts(load, supply)
		where, _ := judgeVolts(load, volts)
		return known && where == within
	})
}

// wireBeyondContact returns the first wire beyond the first contact on the way
// up from a feed to the bridge that is its cause; -1 if there is none.
func (w *wiring) wireBeyondContact(tr *tree, feed, cause int) int {
	beyond := false
	for node, here := tr.place[feed]; here && node > 0; node = tr.up[node] {
		if id := tr.via[node]; id >= 0 && id < len(w.c.Elements) {
			beyond = beyond || w.c.Elements[id].Kind == graphs.Contact
			if beyond && w.c.Elements[id].Kind == graphs.Wire {
				return id
			}
		}
		if node == cause {
			break
		}
	}
	return -1
}

func (w *wiring) sortFeeds(feeds []misfeed) {
	slices.SortFunc(feeds, func(a, b misfeed) int {
		loads := w.b.Parts.Loads
		return model.CompareRefs(w.c.Ref(loads[a.load].Feed), w.c.Ref(loads[b.load].Feed))
	})
}

func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K {
	keys := make([]K, 0, len(m))
	for key := range m {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	return keys
}
