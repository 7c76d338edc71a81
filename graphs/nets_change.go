package graphs

import "slices"

// netChange says how elements changed, as far as nets are concerned.
type netChange struct {
	joined [][2]int    // ends of metal that is there now
	opened [][2]int    // ends of metal that is there no more
	wires  []int       // elements of kind Wire that came, went or changed
	moved  map[int]int // new numbers of wires that lists of nets know by an old one; -1: gone
}

// netsFromBase works the nets out from those of the circuit this one was made
// from: only nets that hold an end of a changed element are looked at.
func (c *Circuit) netsFromBase() *Nets {
	before := c.base.Nets()
	nets := &Nets{List: slices.Clone(before.List), Of: slices.Clone(before.Of)}
	var change netChange
	for _, id := range c.changed {
		switch e := c.Elements[id]; {
		case !e.Kind.Metal():
			continue
		case e.Present:
			change.joined = append(change.joined, [2]int{e.A, e.B})
		default:
			change.opened = append(change.opened, [2]int{e.A, e.B})
		}
		if c.Elements[id].Kind == Wire {
			change.wires = append(change.wires, id)
		}
	}
	c.regroup(nets, change)
	c.base, c.changed = nil, nil
	return nets
}

// regroup brings nets up to date after a change of elements. It writes to Of
// and puts other nets in the list, but never writes to a net that others may
// hold. Cost: the size of the nets that hold an end of a changed element, plus
// one pass over Of and the list where nets came or went.
func (c *Circuit) regroup(nets *Nets, change netChange) {
	var old []int
	for _, pair := range slices.Concat(change.joined, change.opened) {
		old = append(old, nets.Of[pair[0]], nets.Of[pair[1]])
	}
	slices.Sort(old)
	old = slices.Compact(old)
	if len(old) == 0 {
		return
	}
	wires := [][]int{slices.DeleteFunc(slices.Clone(change.wires), func(id int) bool { return !c.Elements[id].Present })}
	slices.SortFunc(wires[0], c.compareWires)
	for _, at := range old {
		wires = append(wires, renumbered(nets.List[at].Wires, change.moved))
	}
	var fresh []Net
	if len(change.opened) == 0 {
		fresh = c.unite(nets, old, change.joined)
	} else {
		fresh = c.search(nets, c.mergeTerminals(nets, old))
	}
	for _, id := range slices.Compact(mergeSorted(wires, c.compareWires)) {
		if e := &c.Elements[id]; e.Present {
			part := &fresh[-1-nets.Of[e.A]]
			part.Wires = append(part.Wires, id)
		}
	}
	c.replaceNets(nets, old, fresh)
}

// renumbered returns a list of wires with their new numbers.
func renumbered(wires []int, moved map[int]int) []int {
	if len(moved) == 0 {
		return wires
	}
	out := make([]int, 0, len(wires))
	for _, id := range wires {
		if now, found := moved[id]; found {
			id = now
		}
		if id >= 0 {
			out = append(out, id)
		}
	}
	return out
}

// mergeTerminals returns the terminals of some nets, sorted.
func (c *Circuit) mergeTerminals(nets *Nets, which []int) []int {
	rank := c.terminalLabels().rank
	lists := make([][]int, len(which))
	for i, at := range which {
		lists[i] = nets.List[at].Terminals
	}
	return mergeSorted(lists, func(a, b int) int { return int(rank[a] - rank[b]) })
}

// unite joins the old nets that new metal joins. Like search it
// leaves -1-i in Of for terminals of net i.
func (c *Circuit) unite(nets *Nets, old []int, pairs [][2]int) []Net {
	joined := newSets(len(old))
	placeOf := func(t int) int32 {
		at, _ := slices.BinarySearch(old, nets.Of[t])
		return int32(at)
	}
	for _, pair := range pairs {
		joined.union(placeOf(pair[0]), placeOf(pair[1]))
	}
	var fresh []Net
	members := map[int32][]int{}
	for i, at := range old {
		root := joined.find(int32(i))
		members[root] = append(members[root], at)
	}
	for i := range old {
		which := members[int32(i)]
		if len(which) == 0 {
			continue
		}
		net := Net{Terminals: c.mergeTerminals(nets, which), Wires: []int{}, key: nets.List[which[0]].key}
		for _, at := range which {
			net.key = min(net.key, nets.List[at].key)
		}
		fresh = append(fresh, net)
	}
	for i := range fresh {
		for _, t := range fresh[i].Terminals {
			nets.Of[t] = -1 - i
		}
	}
	return fresh
}

// search splits terminals, sorted by rank, into nets by a walk through joining
// elements. It leaves -1-i in Of for terminals of net i.
func (c *Circuit) search(nets *Nets, terminals []int) []Net {
	labels := c.terminalLabels()
	for _, t := range terminals {
		nets.Of[t] = 0 // not met yet
	}
	var fresh []Net
	var stack []int
	for _, start := range terminals {
		if nets.Of[start] < 0 {
			continue
		}
		mark := -1 - len(fresh)
		nets.Of[start] = mark
		stack = append(stack[:0], start)
		key := labels.telling[start]
		for len(stack) > 0 {
			t := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			key = min(key, labels.telling[t])
			for _, id := range c.Incident(t) {
				e := &c.Elements[id]
				if !e.Present || !e.Kind.Metal() {
					continue
				}
				if far := e.A + e.B - t; nets.Of[far] >= 0 {
					nets.Of[far] = mark
					stack = append(stack, far)
				}
			}
		}
		fresh = append(fresh, Net{key: key, Wires: []int{}})
	}
	for _, t := range terminals {
		net := &fresh[-1-nets.Of[t]]
		net.Terminals = append(net.Terminals, t)
	}
	return fresh
}

// replaceNets puts fresh nets in the place of old ones (places in the list,
// rising), names anew what shares a name with either, and sets Of.
func (c *Circuit) replaceNets(nets *Nets, old []int, fresh []Net) {
	labels := c.terminalLabels()
	compare := func(a, b Net) int { return labels.compareNets(c.Machine, a.key, b.key) }
	byOrder := make([]int, len(fresh))
	for i := range fresh {
		byOrder[i] = i
	}
	slices.SortFunc(byOrder, func(a, b int) int { return compare(fresh[a], fresh[b]) })

	stays := len(old) == len(fresh) // each net in its old place: nothing else moves
	for i := 0; stays && i < len(old); i++ {
		stays = nets.List[old[i]].key == fresh[byOrder[i]].key
	}
	if stays {
		for i, at := range old {
			net := fresh[byOrder[i]]
			net.Kind, net.Name = nets.List[at].Kind, nets.List[at].Name
			nets.List[at] = net
			for _, t := range net.Terminals {
				nets.Of[t] = at
			}
		}
		return
	}

	var touched []int
	place := make([]int, len(nets.List)) // new place of each old net that stays
	list := make([]Net, 0, len(nets.List)-len(old)+len(fresh))
	kinds := map[uint64]bool{} // of which nets came or went
	gone, next := 0, 0
	for at := 0; at <= len(nets.List); at++ {
		if gone < len(old) && at == old[gone] {
			kinds[nets.List[at].key>>tellingKind] = true
			gone++
			continue
		}
		for next < len(fresh) && (at == len(nets.List) || compare(fresh[byOrder[next]], nets.List[at]) < 0) {
			touched = append(touched, len(list))
			list = append(list, fresh[byOrder[next]])
			next++
		}
		if at < len(nets.List) {
			place[at] = len(list)
			list = append(list, nets.List[at])
		}
	}
	for t, at := range nets.Of {
		if at >= 0 {
			nets.Of[t] = place[at]
		}
	}
	for _, at := range touched {
		for _, t := range list[at].Terminals {
			nets.Of[t] = at
		}
		kinds[list[at].key>>tellingKind] = true
	}
	nets.List = list
	c.renameNets(nets.List, touched, kinds)
}

// renameNets names the touched nets, and all nets of the kinds that share bare
// names, which are few.
func (c *Circuit) renameNets(list []Net, touched []int, kinds map[uint64]bool) {
	first := 0
	for kind := uint64(0); kind < sharedKinds; kind++ {
		end := first
		for end < len(list) && list[end].key>>tellingKind == kind {
			end++
		}
		if kinds[kind] {
			c.nameNets(list[first:end])
		}
		first = end
	}
	for _, at := range touched {
		if list[at].key>>tellingKind >= sharedKinds {
			c.nameNets(list[at : at+1])
		}
	}
}
