package graphs

import "slices"

// netsFromBase works the nets out from those of the circuit this one was made
// from: only nets that hold an end of a changed element are looked at.
func (c *Circuit) netsFromBase() *Nets {
	before := c.base.Nets()
	nets := &Nets{List: slices.Clone(before.List), Of: slices.Clone(before.Of)}
	c.regroup(nets, c.changed)
	c.base, c.changed = nil, nil
	return nets
}

// regroup brings nets up to date after a change of elements, in place, and
// returns where the nets that the change touched now stand in the list, rising.
// Nets as such are never written to, only replaced. Cost: the size of the nets
// that hold an end of a changed element, plus one pass over Of where nets came
// or went.
func (c *Circuit) regroup(nets *Nets, changed []int) (touched []int) {
	var old []int
	for _, id := range changed {
		old = append(old, nets.Of[c.Elements[id].A], nets.Of[c.Elements[id].B])
	}
	slices.Sort(old)
	old = slices.Compact(old)
	if len(old) == 0 {
		return nil
	}
	added := []int{}
	only := true // nothing opened: nets can only grow together
	for _, id := range changed {
		if c.Elements[id].Kind == Wire {
			added = append(added, id)
		}
		only = only && c.Elements[id].Joins()
	}
	slices.SortFunc(added, c.compareWires)
	var fresh []Net
	if only {
		fresh = c.unite(nets, old, changed)
	} else {
		fresh = c.search(nets, c.mergeTerminals(nets, old))
	}
	wires := [][]int{added}
	for _, at := range old {
		wires = append(wires, nets.List[at].Wires)
	}
	for _, id := range slices.Compact(mergeSorted(wires, c.compareWires)) {
		if e := &c.Elements[id]; e.Present {
			part := &fresh[-1-nets.Of[e.A]]
			part.Wires = append(part.Wires, id)
		}
	}
	return c.replaceNets(nets, old, fresh)
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

// unite joins the old nets that the changed elements join. Like search it
// leaves -1-i in Of for terminals of net i.
func (c *Circuit) unite(nets *Nets, old, changed []int) []Net {
	joined := newSets(len(old))
	placeOf := func(t int) int32 {
		at, _ := slices.BinarySearch(old, nets.Of[t])
		return int32(at)
	}
	for _, id := range changed {
		joined.union(placeOf(c.Elements[id].A), placeOf(c.Elements[id].B))
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
func (c *Circuit) replaceNets(nets *Nets, old []int, fresh []Net) (touched []int) {
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
		return old
	}

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
	return touched
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
