package nextprobe

import (
	"math"
	"slices"

	"bellout/faults/explain"
	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// verify proposes a touch that proves more of the map: first what conducts, net
// by net as nets are sorted, then rings, then what must be apart.
func (p *Planner) verify() (Proposal, bool) { return p.verifyWithout(p.culprits()) }

// verifyAround does so while suspicions are open, and leaves out what they are about:
// one search tells that faster than proof after proof.
func (p *Planner) verifyAround() (Proposal, bool) {
	out := p.culprits()
	of := p.bench.AsIntended.Nets().Of
	p.joined = map[[2]int]bool{}
	for _, s := range p.suspects() {
		for _, h := range s.members {
			p.opened(h, out)
			if h.Fault == explain.Short {
				p.joined[[2]int{min(of[h.A], of[h.B]), max(of[h.A], of[h.B])}] = true
			}
		}
	}
	proposal, found := p.verifyWithout(out)
	p.joined = nil
	return proposal, found
}

// verifyWithout takes some elements as not conducting.
func (p *Planner) verifyWithout(out map[int]bool) (Proposal, bool) {
	c, blocks := p.circuit, p.judge.Metal()
	if len(out) > 0 {
		ids := make([]int, 0, len(out))
		for id := range out {
			ids = append(ids, id)
		}
		c = c.Without(ids...)
		blocks = c.Blocks(graphs.Element.Joins)
	}
	nets := p.circuit.Nets().List
	var meshed []int
	for at := range nets {
		if !p.unprovenIn(&nets[at], out) {
			continue
		}
		if proposal, found := p.verifyNet(&nets[at], c, blocks, nil, out); found {
			return proposal, true
		}
		meshed = append(meshed, at)
	}
	for _, at := range meshed {
		if proposal, found := p.verifyHidden(&nets[at], c, blocks, out); found {
			return proposal, true
		}
		if proposal, found := p.verifyRing(&nets[at], c, blocks, out); found {
			return proposal, true
		}
	}
	if p.only != nil {
		return Proposal{}, false // see Again
	}
	return p.verifyApart()
}

// unprovenIn says whether a net has a wire that conducts as far as is known, and
// that nothing proves.
func (p *Planner) unprovenIn(net *graphs.Net, out map[int]bool) bool {
	return slices.ContainsFunc(net.Wires, func(id int) bool { return !out[id] && !p.proven(id) })
}

// verifyNet proposes the next pair of leaves of a net under conditions.
func (p *Planner) verifyNet(net *graphs.Net, c *graphs.Circuit, blocks *graphs.Blocks, conditions model.Conditions, out map[int]bool) (Proposal, bool) {
	stuck := map[int]bool{} // branches that no usable touch covers, or that what lies beside them hides
	for {
		t := p.treeOf(c, blocks, net.Terminals, out, func(id int) bool {
			return !stuck[id] && (len(conditions) > 0 || !p.beside[id])
		})
		if len(t.branches) == 0 || !slices.ContainsFunc(t.branches, func(b branch) bool { return b.id < len(p.machine.Wires) }) {
			return Proposal{}, false
		}
		red, black, found := p.bestPair(t, conditions)
		if !found {
			stuck[t.branches[0].id] = true
			continue
		}
		want := p.branchesBetween(t, blocks, red, black)
		want = want[:min(len(want), mostProofs)]
		mode, proves := p.modeFor(net, red, black, conditions, want)
		rest := proves // in the order of want
		for _, id := range want {
			switch {
			case len(rest) > 0 && rest[0] == id:
				rest = rest[1:]
			case len(conditions) == 0 && p.hidden(id):
				p.beside[id] = true
			}
		}
		if len(proves) == 0 {
			for _, id := range want {
				stuck[id] = true
			}
			if len(want) == 0 {
				stuck[t.branches[0].id] = true
			}
			continue
		}
		return p.chainProposal(net, red, black, mode, conditions, proves), true
	}
}

// mostProofs is of how many elements between two tips a touch is asked whether it
// proves them: more than any way has that a person wired, and few enough for an
// answer within seconds where a table holds a chain of 100,000 links. A reading
// proves the rest of such a way all the same.
const mostProofs = 500

// bestPair returns the usable pair of leaves that costs the least trouble; where
// none of the pairs by rule is usable, any other that covers something.
func (p *Planner) bestPair(t tree, conditions model.Conditions) (red, black int, found bool) {
	least := math.Inf(1)
	pairs := pairLeaves(t.branches)
	const mostPairs = 12 // looked at for their trouble
	for i, pair := range pairs {
		if found && i >= mostPairs {
			break
		}
		a, b, usable := p.tipsOf(t, pair[0], pair[1], conditions)
		if !usable {
			continue
		}
		if trouble := p.trouble(a, b, conditions); trouble < least-1e-9 {
			least, red, black, found = trouble, a, b, true
		}
	}
	if found {
		return red, black, true
	}
	leaves := leavesInOrder(t.branches)
	for i := range leaves {
		for j := i + 1; j < len(leaves) && j < i+40; j++ {
			if a, b, usable := p.tipsOf(t, leaves[i], leaves[j], conditions); usable {
				return a, b, true
			}
		}
	}
	// The ends were touched, and the reading was no good one though nothing else
	// speaks for a fault: a tip may not have touched. Half of the way tells more
	// than one branch after another.
	for _, pair := range pairs {
		if a, b, usable := p.tipsOfHalf(t, pair[0], pair[1], conditions); usable {
			return a, b, true
		}
	}
	for _, b := range t.branches { // each by itself
		if a, b, usable := p.tipsOf(t, b.a, b.b, conditions); usable {
			return a, b, true
		}
	}
	return 0, 0, false
}

// tipsOfHalf returns a usable touch between one end of the way between two nodes
// and a node of it, as near to its middle as can be.
func (p *Planner) tipsOfHalf(t tree, from, to int, conditions model.Conditions) (red, black int, found bool) {
	way := t.way(from, to)
	for far := range len(way) - 2 {
		middle := len(way)/2 + (far+1)/2*(1-2*(far%2))
		if middle < 1 || middle >= len(way)-1 {
			continue
		}
		for _, end := range [2]int{from, to} {
			if red, black, found = p.tipsOf(t, end, way[middle], conditions); found {
				return red, black, true
			}
		}
	}
	return 0, 0, false
}

// way returns the nodes of a tree from one to another, both included; nil where
// nothing joins them.
func (t tree) way(from, to int) []int {
	next := map[int][]int{}
	for _, b := range t.branches {
		next[b.a] = append(next[b.a], b.b)
		next[b.b] = append(next[b.b], b.a)
	}
	by := map[int]int{to: to}
	for queue := []int{to}; len(queue) > 0; queue = queue[1:] {
		node := queue[0]
		if node == from {
			way := []int{from}
			for node != to {
				node = by[node]
				way = append(way, node)
			}
			return way
		}
		for _, far := range next[node] {
			if _, seen := by[far]; !seen {
				by[far] = node
				queue = append(queue, far)
			}
		}
	}
	return nil
}

// branchesBetween returns the branches on the way between two tips.
func (p *Planner) branchesBetween(t tree, blocks *graphs.Blocks, red, black int) []int {
	open := map[int]bool{}
	for _, b := range t.branches {
		open[b.id] = true
	}
	var list []int
	for _, id := range blocks.BridgesBetween(red, black) {
		if open[id] {
			list = append(list, id)
		}
	}
	return list
}

// unlikely is how much less likely a reading must be without an element to
// prove it; the diagnosis counts proofs by the same number.
const unlikely = 0.2

// modeFor returns the mode in which a good reading between two tips proves most
// of the elements, the beep if it proves as much, and those.
func (p *Planner) modeFor(net *graphs.Net, red, black int, conditions model.Conditions, elements []int) (model.Mode, []int) {
	sight := p.sight(red, black, conditions)
	if !sight.Metal {
		return "", nil
	}
	modes := []model.Mode{model.ModeContinuity, model.ModeOhms}
	if inOhms(net) || p.beepsThrough(red) || p.beepsThrough(black) {
		modes = modes[1:]
	}
	var best model.Mode
	var most []int
	for _, mode := range modes {
		good := p.goodReading(mode, sight)
		var proves []int
		for _, id := range elements {
			if p.tells(good, sight, p.without(red, black, conditions, id)) {
				proves = append(proves, id)
			}
		}
		if len(proves) > len(most) {
			best, most = mode, proves
		}
	}
	return best, most
}

// beepsThrough says whether a part that beeps hangs on a terminal, such as a
// speaker: by ear its two wires changed over sound as they should.
func (p *Planner) beepsThrough(t int) bool {
	return slices.ContainsFunc(p.circuit.Incident(t), func(id int32) bool {
		e := p.circuit.Elements[id]
		return e.Present && e.Kind == graphs.Resistance && p.judge.Meter.Beeps(e.Ohms) > 0.5
	})
}

// inOhms says whether a net is proven by the number: the mains side, dead, so that
// what a filter or a primary reads is seen; and what carries the current of loads,
// where a joint of a few ohms still beeps and does the harm.
func inOhms(net *graphs.Net) bool {
	switch net.Kind {
	case graphs.NetSignal, graphs.NetOther:
		return false
	default:
		return true
	}
}

// tells says whether a reading would be surprising if its tips faced something
// else.
func (p *Planner) tells(good model.Reading, sight, otherwise judge.Observed) bool {
	meter := p.judge.Meter
	return meter.Likelihood(good, otherwise) < unlikely*meter.Likelihood(good, sight)
}

// goodReading is what a good machine shows.
func (p *Planner) goodReading(mode model.Mode, sight judge.Observed) model.Reading {
	r := model.Reading{Mode: mode}
	switch {
	case mode == model.ModeContinuity && p.judge.Meter.Beeps(sight.Ohms) > 0.5:
		r.Value.Kind = model.ShowsBeep
	case mode == model.ModeContinuity:
		r.Value.Kind = model.ShowsSilent
	case sight.Ohms > 2e7:
		r.Value.Kind = model.ShowsOL
	default:
		r.Value.Number = math.Round((sight.Ohms+p.judge.Meter.LeadOhms)*100) / 100
	}
	return r
}

// without returns what two tips would face if an element on the way between them
// were open. At rest that is the same for all tips, but for copper.
func (p *Planner) without(red, black int, conditions model.Conditions, id int) judge.Observed {
	if len(conditions) > 0 {
		return p.judge.SightIf(red, black, conditions, []graphs.ElementChange{{Element: id, Ohms: math.Inf(1)}})
	}
	known, worked := p.bypasses[id]
	if !worked {
		e := p.circuit.Elements[id]
		ohms := p.circuit.OhmsIf(e.A, e.B, []graphs.ElementChange{{Element: id, Ohms: math.Inf(1)}})
		known.Ohms, known.LeastOhms = ohms, ohms
		p.bypasses[id] = known
	}
	return known
}

// hidden says whether no reading at rest could prove an element: what lies
// beside it reads as it does.
func (p *Planner) hidden(id int) bool {
	e := p.circuit.Elements[id]
	sight := judge.Observed{Metal: true}
	sight.Ohms, sight.LeastOhms = e.Ohms, e.Ohms
	beside := p.without(e.A, e.B, nil, id)
	return !p.tells(p.goodReading(model.ModeContinuity, sight), sight, beside) &&
		!p.tells(p.goodReading(model.ModeOhms, sight), sight, beside)
}
