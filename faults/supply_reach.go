package faults

import (
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// wiring is what the rules on volts, amperes and protection look up again and
// again: which supply's rail or return stands in which net, and which net
// leads on to which. It is read off the circuit with the culprits out, so that
// a crossing does not turn every load beyond it into a finding.
type wiring struct {
	b    *Analysis
	c    *graphs.Circuit
	nets *graphs.Nets

	rails      map[int][]int // by net: places in Parts.Supplies whose rail it holds
	returns    map[int][]int // by net: places in Parts.Supplies whose return it holds
	drives     map[int][]int // by net: places in Parts.Drivers whose output it holds
	driversAt  map[int][]int // by feed terminal: places in Parts.Drivers that switch it
	openAt     map[int][]int // by net: contacts that are open at rest and have an end there
	originsOf  map[int][]int // by net, once computed
	positions  *positions    // once computed
	inProgress map[int]bool
}

// newWiring lays the lookups out. Cost: linear.
func newWiring(b *Analysis) *wiring { return newWiringOf(b, b.AsIntended) }

// newWiringOf lays them out for Apart with contacts in other positions.
func newWiringOf(b *Analysis, c *graphs.Circuit) *wiring {
	w := &wiring{
		b: b, c: c, nets: c.Nets(),
		rails: map[int][]int{}, returns: map[int][]int{}, drives: map[int][]int{}, driversAt: map[int][]int{},
		openAt: map[int][]int{}, originsOf: map[int][]int{}, inProgress: map[int]bool{},
	}
	for i, supply := range b.Parts.Supplies {
		addOnce(w.rails, w.net(supply.Rail), i)
		for _, t := range supply.Returns {
			addOnce(w.returns, w.net(t), i)
		}
	}
	for _, t := range b.rectified {
		for _, i := range b.Grounds[b.groundAt[t]].Supplies {
			w.returns[w.net(t)] = mergeSorted(w.returns[w.net(t)], []int{i})
		}
	}
	b.acrossShunts(c, func(from, to int) {
		for _, lists := range [2]map[int][]int{w.rails, w.returns} {
			if len(lists[from]) > 0 {
				lists[to] = mergeSorted(lists[to], lists[from])
			}
		}
	})
	for i, driver := range b.Parts.Drivers {
		addOnce(w.drives, w.net(driver.Drive), i)
		for _, feed := range driver.Feeds {
			w.driversAt[feed] = append(w.driversAt[feed], i)
		}
	}
	for id, e := range w.c.Elements {
		if e.Kind == graphs.Contact && !e.Present && w.passable(id) {
			addOnce(w.openAt, w.net(e.A), id)
			addOnce(w.openAt, w.net(e.B), id)
		}
	}
	return w
}

func addOnce(lists map[int][]int, key, value int) {
	if list := lists[key]; len(list) == 0 || list[len(list)-1] != value {
		lists[key] = append(list, value)
	}
}

func (w *wiring) net(terminal int) int { return w.nets.Of[terminal] }

// passable says whether current may go through a metal element in some
// position of the machine's contacts. What the map draws as joined and the
// bench holds apart is a culprit and stays out.
func (w *wiring) passable(element int) bool {
	e := w.c.Elements[element]
	if e.Joins() {
		return true
	}
	return e.Kind == graphs.Contact && !w.b.AsDrawn.Elements[element].Present
}

// origins returns the supplies (places in Parts.Supplies) whose rails give a
// net its volts: the rails in it; else those that feed the drivers whose
// outputs it holds; else those that its open contacts lead to, each position
// counted. None: nothing says what volts stand there.
func (w *wiring) origins(net int) []int {
	if found, known := w.originsOf[net]; known {
		return found
	}
	if w.inProgress[net] {
		return nil
	}
	w.inProgress[net] = true
	found := w.atRest(net)
	if len(found) == 0 {
		found = w.throughContacts(net)
	}
	delete(w.inProgress, net)
	slices.Sort(found)
	found = slices.Compact(found)
	w.originsOf[net] = found
	return found
}

// atRest finds the supplies of a net without moving a contact.
func (w *wiring) atRest(net int) []int {
	if rails := w.rails[net]; len(rails) > 0 {
		return slices.Clone(rails)
	}
	if len(w.returns[net]) > 0 {
		return nil // a return has no volts, whatever a driver's output does on it
	}
	var found []int
	for _, driver := range w.drives[net] {
		for _, feed := range w.b.Parts.Drivers[driver].Feeds {
			if at := w.net(feed); at != net {
				found = append(found, w.origins(at)...)
			}
		}
	}
	return found
}

// throughContacts walks contacts in any position and stops at the first nets
// that have volts or are returns.
func (w *wiring) throughContacts(start int) []int {
	var found []int
	seen := map[int]bool{start: true}
	for queue := []int{start}; len(queue) > 0; queue = queue[1:] {
		for _, id := range w.openAt[queue[0]] {
			e := w.c.Elements[id]
			for _, far := range [2]int{w.net(e.A), w.net(e.B)} {
				if seen[far] {
					continue
				}
				seen[far] = true
				if volts := w.atRest(far); len(volts) > 0 {
					found = append(found, volts...)
				} else if len(w.returns[far]) == 0 {
					queue = append(queue, far)
				}
			}
		}
	}
	return found
}

// name returns a net's name.
func (w *wiring) name(net int) string { return w.nets.List[net].Name }

// ref returns a terminal's reference as text.
func (w *wiring) ref(terminal int) string { return w.c.Ref(terminal).String() }

// wireName returns the name of a wire element.
func (w *wiring) wireName(element int) string {
	return w.b.Machine.Wires[w.c.Elements[element].Row].Name
}

// wiresAt returns the present wires at a terminal.
func (w *wiring) wiresAt(terminal int) []int {
	var wires []int
	for _, id := range w.c.Incident(terminal) {
		if e := w.c.Elements[id]; e.Kind == graphs.Wire && e.Present {
			wires = append(wires, int(id))
		}
	}
	slices.SortFunc(wires, func(a, b int) int { return model.Compare(w.wireName(a), w.wireName(b)) })
	return wires
}
