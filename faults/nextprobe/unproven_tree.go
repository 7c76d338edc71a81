package nextprobe

import (
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// tree is what is left to prove of one net: everything that is proven, or that
// no reading at rest could prove, is drawn to nothing.
type tree struct {
	branches []branch
	members  map[int][]int // by node: its terminals, ends of branches first
	// meshed are the wires on loops that nothing proves yet: a loop hides an
	// open.
	meshed []int
}

// treeOf draws a net of a circuit. Elements of out are left out: they are known
// not to conduct. Those that nothing needs to prove (prove returns false) are
// drawn to nothing.
func (p *Planner) treeOf(c *graphs.Circuit, blocks *graphs.Blocks, terminals []int, out map[int]bool, prove func(element int) bool) tree {
	elements := netElements(c, terminals, out)
	dangling := danglingLinks(c, elements)
	at := make(map[int]int, len(terminals)) // place in terminals
	for i, t := range terminals {
		at[t] = i
	}
	node := make([]int, len(terminals))
	for i := range node {
		node[i] = i
	}
	find := func(i int) int {
		for node[i] != i {
			node[i] = node[node[i]]
			i = node[i]
		}
		return i
	}
	join := func(id int) {
		a, b := find(at[c.Elements[id].A]), find(at[c.Elements[id].B])
		node[max(a, b)] = min(a, b)
	}
	var found tree
	var open []int
	for _, id := range elements {
		switch bridge := blocks.Bridge(id); {
		case bridge && !dangling[id] && !p.proven(id) && prove(id):
			open = append(open, id)
			continue
		case !bridge && c.Elements[id].Kind == graphs.Wire && !p.proven(id):
			found.meshed = append(found.meshed, id)
		}
		join(id)
	}
	open = p.dropUnreachable(c, terminals, open, find, join, at)
	found.members = map[int][]int{}
	for _, id := range open {
		e := c.Elements[id]
		a, b := find(at[e.A]), find(at[e.B])
		found.branches = append(found.branches, branch{id, a, b})
		found.members[a] = append(found.members[a], e.A)
		found.members[b] = append(found.members[b], e.B)
	}
	for i, t := range terminals {
		if members, used := found.members[find(i)]; used && !slices.Contains(members, t) {
			found.members[find(i)] = append(members, t)
		}
	}
	return found
}

// dropUnreachable draws branches to nothing beyond which no tip can get: that
// part stays unproven.
func (p *Planner) dropUnreachable(c *graphs.Circuit, terminals, open []int, find func(int) int, join func(int), at map[int]int) []int {
	if len(p.skips.at) == 0 {
		return open
	}
	for {
		degree, reachable := map[int]int{}, map[int]bool{}
		for _, id := range open {
			degree[find(at[c.Elements[id].A])]++
			degree[find(at[c.Elements[id].B])]++
		}
		for i, t := range terminals {
			if !p.outOfReach(p.ref(t)) {
				reachable[find(i)] = true
			}
		}
		blind := slices.IndexFunc(open, func(id int) bool {
			a, b := find(at[c.Elements[id].A]), find(at[c.Elements[id].B])
			return degree[a] == 1 && !reachable[a] || degree[b] == 1 && !reachable[b]
		})
		if blind < 0 {
			return open
		}
		join(open[blind])
		open = slices.Delete(open, blind, blind+1)
	}
}

// netElements returns the elements that join the terminals of a net, rising.
func netElements(c *graphs.Circuit, terminals []int, out map[int]bool) []int {
	var elements []int
	for _, t := range terminals {
		for _, id := range c.Incident(t) {
			if e := c.Elements[id]; e.A == t && e.A != e.B && e.Joins() && !out[int(id)] {
				elements = append(elements, int(id))
			}
		}
	}
	slices.Sort(elements)
	return slices.Compact(elements)
}

// danglingLinks are the links that lead to no wire: spare places of a block,
// the far side of an empty fuse holder. No one needs them proven.
func danglingLinks(c *graphs.Circuit, elements []int) map[int]bool {
	degree := map[int]int{}
	at := map[int][]int{}
	for _, id := range elements {
		for _, t := range [2]int{c.Elements[id].A, c.Elements[id].B} {
			degree[t]++
			at[t] = append(at[t], id)
		}
	}
	dangling := map[int]bool{}
	var ends []int
	for _, id := range elements {
		ends = append(ends, c.Elements[id].A, c.Elements[id].B)
	}
	for len(ends) > 0 {
		t := ends[len(ends)-1]
		ends = ends[:len(ends)-1]
		if degree[t] != 1 {
			continue
		}
		for _, id := range at[t] {
			if dangling[id] || c.Elements[id].Kind == graphs.Wire {
				continue
			}
			dangling[id] = true
			degree[t]--
			far := c.Far(id, t)
			degree[far]--
			ends = append(ends, far)
		}
	}
	return dangling
}

// tipsOf returns the first usable touch between two nodes.
func (p *Planner) tipsOf(t tree, a, b int, conditions model.Conditions) (red, black int, found bool) {
	const most = 6 // terminals of one node that are tried
	for _, red := range t.members[a][:min(most, len(t.members[a]))] {
		for _, black := range t.members[b][:min(most, len(t.members[b]))] {
			if p.usable(red, black, conditions) {
				return red, black, true
			}
		}
	}
	return 0, 0, false
}
