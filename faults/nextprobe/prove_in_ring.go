package nextprobe

import (
	"math"
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// mostLifts is how many wires are lifted at once, mostUnplugged how many devices
// are pulled to prove a wire that they hide.
const (
	mostLifts     = 3
	mostUnplugged = 2
)

// verifyRing proposes to lift what closes the loops around wires that nothing
// proves, and to prove the rest as a tree. In a plain ring that takes two
// lifts: the first proves all the others, the second proves the one that was
// lifted.
func (p *Planner) verifyRing(net *graphs.Net, c *graphs.Circuit, blocks *graphs.Blocks, out map[int]bool) (Proposal, bool) {
	t := p.treeOf(c, blocks, net.Terminals, out, func(int) bool { return false })
	for _, id := range t.meshed {
		for _, lifted := range [][]int{p.liftsOfLoops(c, blocks, id), p.liftsAround(c, blocks, id)} {
			if len(lifted) == 0 || len(lifted) > mostLifts {
				continue
			}
			var list []model.Condition
			for _, wire := range lifted {
				list = append(list, model.Condition{Kind: model.Lifted, Wire: p.machine.Wires[wire].Name})
			}
			if proposal, found := p.verifyUnder(net, model.NewConditions(list...), out); found {
				return proposal, true
			}
		}
	}
	return Proposal{}, false
}

// verifyUnder proposes a pair of leaves while conditions hold.
func (p *Planner) verifyUnder(net *graphs.Net, conditions model.Conditions, out map[int]bool) (Proposal, bool) {
	under := p.judge.View(conditions)
	if len(out) > 0 {
		ids := make([]int, 0, len(out))
		for id := range out {
			ids = append(ids, id)
		}
		under = under.Without(ids...)
	}
	return p.verifyNet(net, under, under.Blocks(graphs.Element.Joins), conditions, out)
}

// liftsOfLoops returns the wires to lift so that every loop of a wire's block is
// open: those that a spanning tree leaves over, which takes links first, since
// nobody lifts a bus bar, then what is left in place, then wires without proof. A
// loop of nothing else is not opened: none then.
func (p *Planner) liftsOfLoops(c *graphs.Circuit, blocks *graphs.Blocks, wire int) []int {
	elements := blocks.Edges(blocks.BlockOf(wire))
	slices.SortStableFunc(elements, func(a, b int) int { return p.liftOrder(a) - p.liftOrder(b) })
	up := map[int]int{}
	var find func(int) int
	find = func(t int) int {
		if next, known := up[t]; known && next != t {
			root := find(next)
			up[t] = root
			return root
		}
		return t
	}
	var lifted []int
	for _, id := range elements {
		a, b := find(c.Elements[id].A), find(c.Elements[id].B)
		switch {
		case a != b:
			up[b] = a
		case c.Elements[id].Kind == graphs.Wire:
			if p.bench.LeftInPlace().Element(id) {
				return nil
			}
			lifted = append(lifted, id)
		}
	}
	return lifted
}

func (p *Planner) liftOrder(id int) int {
	switch {
	case p.circuit.Elements[id].Kind != graphs.Wire:
		return 0
	case p.bench.LeftInPlace().Element(id):
		return 1
	case !p.wireProven(id):
		return 2
	default:
		return 3
	}
}

// liftsAround returns wires to lift so that one wire is the only way between its
// ends: on each way round it, one that is proven if there is one.
func (p *Planner) liftsAround(c *graphs.Circuit, blocks *graphs.Blocks, wire int) []int {
	inside := map[int]bool{}
	for _, id := range blocks.Edges(blocks.BlockOf(wire)) {
		inside[id] = id != wire
	}
	var lifted []int
	for len(lifted) <= mostLifts {
		way := shortestInside(c, c.Elements[wire].A, c.Elements[wire].B, inside)
		if way == nil {
			return lifted
		}
		pick := -1
		for _, id := range way {
			if c.Elements[id].Kind == graphs.Wire && !p.bench.LeftInPlace().Element(id) && (pick < 0 || !p.wireProven(pick) && p.wireProven(id)) {
				pick = id
			}
		}
		if pick < 0 {
			return nil // metal of a device goes round it, or earth
		}
		inside[pick] = false
		lifted = append(lifted, pick)
	}
	return lifted
}

// shortestInside returns the elements of a way of fewest steps; nil if there is
// none.
func shortestInside(c *graphs.Circuit, from, to int, inside map[int]bool) []int {
	by := map[int]int{from: -1}
	for queue := []int{from}; len(queue) > 0; queue = queue[1:] {
		t := queue[0]
		if t == to {
			var way []int
			for t != from {
				way = append(way, by[t])
				t = c.Far(by[t], t)
			}
			return way
		}
		for _, id := range c.Incident(t) {
			if !inside[int(id)] {
				continue
			}
			far := c.Far(int(id), t)
			if _, seen := by[far]; !seen {
				by[far] = int(id)
				queue = append(queue, far)
			}
		}
	}
	return nil
}

// verifyHidden proposes to pull the part that hides a wire: with it in place a
// meter reads the same whether the wire conducts or not.
func (p *Planner) verifyHidden(net *graphs.Net, c *graphs.Circuit, blocks *graphs.Blocks, out map[int]bool) (Proposal, bool) {
	for _, id := range net.Wires {
		if !p.beside[id] || out[id] || p.proven(id) || !blocks.Bridge(id) {
			continue
		}
		if conditions := p.unplugBeside(c, id); len(conditions) > 0 {
			if proposal, found := p.verifyUnder(net, conditions, out); found {
				return proposal, true
			}
		}
	}
	return Proposal{}, false
}

// unplugBeside returns what to unplug so that nothing of a few ohms lies beside
// an element; nil where a few plugs do not do it.
func (p *Planner) unplugBeside(c *graphs.Circuit, id int) model.Conditions {
	var list []model.Condition
	e := c.Elements[id]
	for range mostUnplugged {
		open := c.Without(id).Under(model.NewConditions(list...))
		part := p.leastPart(open, e.A, e.B)
		if part == "" {
			return nil
		}
		list = append(list, model.Condition{Kind: model.Unplugged, Device: part})
		conditions := model.NewConditions(list...)
		sight := p.sight(e.A, e.B, conditions)
		if sight.Metal && p.tells(p.goodReading(model.ModeOhms, sight), sight, p.without(e.A, e.B, conditions, id)) {
			return conditions
		}
	}
	return nil
}

// leastPart returns the device of the first part on the way round; none where that is
// left in place.
func (p *Planner) leastPart(c *graphs.Circuit, a, b int) string {
	path := c.Through(a, b)
	least, device := math.Inf(1), ""
	for i := 1; i < len(path); i++ {
		for _, id := range c.Incident(path[i-1]) {
			e := c.Elements[id]
			if e.Present && e.Kind == graphs.Resistance && c.Far(int(id), path[i-1]) == path[i] && e.Ohms < least {
				least, device = e.Ohms, p.machine.Links[e.Row].Device
			}
		}
	}
	if p.bench.LeftInPlace().Device(device) {
		return ""
	}
	return device
}
