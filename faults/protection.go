package faults

import (
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// feedPoint is a place where current comes from: a rail, or the line of the mains
// inlet, which is taken as protected at the inlet's limit_a.
type feedPoint struct {
	terminal int
	limit    model.Optional
	volts    float64
	mains    bool
}

// exposure is the wires that a source can burn: no fuse on the way suits them.
type exposure struct {
	source feedPoint
	// gate is the nearest fuse or breaker upstream, too large for the wires;
	// -1: there is none.
	gate  int
	wires []int // the nearest to the source first
}

// protection is what stands between the sources and every wire of the feed
// side.
type protection struct {
	p       *pieces
	sources []feedPoint
	wires   map[model.Gauge][]int // feed side or not, present, size known
	known   map[model.Gauge]wireLimits
}

func findProtection(b *Analysis) *protection {
	pr := &protection{p: findPieces(b), wires: map[model.Gauge][]int{}, known: map[model.Gauge]wireLimits{}}
	for _, supply := range b.Parts.Supplies {
		pr.sources = append(pr.sources, feedPoint{terminal: supply.Rail, limit: supply.LimitAmps, volts: supply.Volts.Or(0)})
	}
	for t, terminal := range b.Machine.Terminals {
		if terminal.Role == model.RoleLine && b.kindOf(terminal.Device) == model.KindMainsInlet {
			device, _ := b.Machine.Device(terminal.Device)
			pr.sources = append(pr.sources, feedPoint{terminal: t, limit: device.LimitAmps, mains: true})
		}
	}
	slices.SortFunc(pr.sources, func(x, y feedPoint) int {
		return model.CompareRefs(b.AsIntended.Ref(x.terminal), b.AsIntended.Ref(y.terminal))
	})
	for id := range b.Machine.Wires {
		e := b.AsIntended.Elements[id]
		gauge := b.Machine.Wires[id].Gauge
		if e.Present && e.Kind == graphs.Wire && gauge.System != model.GaugeUnknown {
			pr.wires[gauge] = append(pr.wires[gauge], id)
		}
	}
	return pr
}

// reached is how a source's current came to a piece.
type reached struct {
	source int // place in sources; -1: not at all
	gate   int // the last fuse that it came through; -1: none
}

// spread walks from the sources that start, through gates that let pass, and
// returns for each piece the first way there. Current that came through a fuse
// and current that did not are told apart; fused says which of them counts.
func (pr *protection) spread(start func(feedPoint) bool, pass func(gate) bool) (unfused, fused []reached) {
	p := pr.p
	unfused, fused = make([]reached, len(p.holds)), make([]reached, len(p.holds))
	for at := range unfused {
		unfused[at], fused[at] = reached{-1, -1}, reached{-1, -1}
	}
	type state struct {
		piece int
		reached
	}
	var queue []state
	visit := func(piece int, r reached) {
		list := unfused
		if r.gate >= 0 {
			list = fused
		}
		if list[piece].source < 0 {
			list[piece] = r
			queue = append(queue, state{piece, r})
		}
	}
	for _, known := range []bool{true, false} { // a known limit judges, an unknown one cannot
		for at, s := range pr.sources {
			if s.limit.Known == known && start(s) {
				visit(p.of[s.terminal], reached{at, -1})
			}
		}
	}
	for ; len(queue) > 0; queue = queue[1:] {
		now := queue[0]
		for _, g := range p.on(now.piece) {
			if p.holds[g.to].barred() || !g.passes(pr.sources[now.source].volts) || !pass(g) {
				continue
			}
			next := now.reached
			if g.fuse {
				next.gate = g.element
			}
			visit(g.to, next)
		}
	}
	return unfused, fused
}

// exposed lists the wires that a source can burn, one entry for a source and
// the fuse nearest to them: those without any fuse on the way, and those whose
// fuses are all too large. thin are the wires of the feed side that are thinner
// than all of the table.
func (pr *protection) exposed() (bare, overfused []exposure, thin []int) {
	bareOf, overfusedOf := map[int]*exposure{}, map[int]*exposure{} // by source, by fuse
	if graphs.CheckAmpacity(pr.p.b.Settings.Ampacity) != nil {
		return nil, nil, nil
	}
	for gauge, wires := range pr.wires {
		limits := pr.limits(gauge)
		if !limits.known {
			continue
		}
		if limits.thinner {
			thin = append(thin, pr.onFeedSide(wires)...)
			continue
		}
		canBurn := func(s feedPoint) bool { return !s.limit.Known || s.limit.Value > limits.fuse*(1+1e-9) }
		letsPass := func(g gate) bool { return !g.fuse || !pr.suits(g, limits) }
		unfused, fused := pr.spread(canBurn, letsPass)
		for _, id := range wires {
			piece := pr.p.of[pr.p.b.AsIntended.Elements[id].A]
			switch {
			case unfused[piece].source >= 0 && pr.sources[unfused[piece].source].limit.Known:
				from := unfused[piece].source
				addWire(bareOf, from, pr.sources[from], -1, id)
			case fused[piece].source >= 0:
				from := fused[piece]
				addWire(overfusedOf, from.gate, pr.sources[from.source], from.gate, id)
			}
		}
	}
	for _, at := range sortedKeys(bareOf) {
		pr.nearestFirst(bareOf[at])
		bare = append(bare, *bareOf[at])
	}
	for _, at := range sortedKeys(overfusedOf) {
		pr.nearestFirst(overfusedOf[at])
		overfused = append(overfused, *overfusedOf[at])
	}
	slices.SortFunc(overfused, func(x, y exposure) int {
		c := pr.p.b.AsIntended
		return model.CompareRefs(c.Ref(c.Elements[x.gate].A), c.Ref(c.Elements[y.gate].A))
	})
	pr.sortWires(thin)
	return bare, overfused, thin
}

func addWire(exposures map[int]*exposure, key int, from feedPoint, gate, wire int) {
	if exposures[key] == nil {
		exposures[key] = &exposure{source: from, gate: gate}
	}
	exposures[key].wires = append(exposures[key].wires, wire)
}

// onFeedSide keeps the wires that some source reaches, whatever lies on the way.
func (pr *protection) onFeedSide(wires []int) []int {
	unfused, fused := pr.spread(func(feedPoint) bool { return true }, func(gate) bool { return true })
	var kept []int
	for _, id := range wires {
		piece := pr.p.of[pr.p.b.AsIntended.Elements[id].A]
		if unfused[piece].source >= 0 || fused[piece].source >= 0 {
			kept = append(kept, id)
		}
	}
	return kept
}

// suits says whether a fuse or breaker protects a wire; one of unknown amperes
// is given the benefit of the doubt.
func (pr *protection) suits(g gate, limits wireLimits) bool {
	amps, breaker := pr.rating(g.element)
	if !amps.Known {
		return true
	}
	most := limits.fuse
	if breaker {
		most = limits.breaker
	}
	return amps.Value <= most*(1+1e-9)
}

// rating returns the amperes of a fuse link, and whether it is a breaker's.
func (pr *protection) rating(element int) (amps model.Optional, breaker bool) {
	link := pr.p.b.Machine.Links[pr.p.b.AsIntended.Elements[element].Row]
	return link.Value, pr.p.b.kindOf(link.Device) == model.KindBreaker
}

// nearestFirst puts the wires in the order in which current comes to them,
// from the fuse where there is one, else from the source.
func (pr *protection) nearestFirst(one *exposure) {
	c := pr.p.b.AsIntended
	pr.sortWires(one.wires)
	wanted := map[int]bool{}
	for _, id := range one.wires {
		wanted[id] = true
	}
	start := []int{one.source.terminal}
	if one.gate >= 0 {
		start = []int{c.Elements[one.gate].A, c.Elements[one.gate].B}
	}
	seen := map[int]bool{}
	for _, t := range start {
		seen[t] = true
	}
	var order []int
	taken := map[int]bool{}
	for queue := start; len(queue) > 0 && len(order) < len(one.wires); queue = queue[1:] {
		t := queue[0]
		var next []int
		for _, id := range c.Incident(t) {
			e := c.Elements[id]
			if e.Kind == graphs.Fuse || !e.Walks() {
				continue
			}
			if wanted[int(id)] && !taken[int(id)] {
				taken[int(id)] = true
				next = append(next, int(id))
			}
			if far := c.Far(int(id), t); !seen[far] {
				seen[far] = true
				queue = append(queue, far)
			}
		}
		pr.sortWires(next)
		order = append(order, next...)
	}
	for _, id := range one.wires { // what lies behind a driver or a diode
		if !taken[id] {
			order = append(order, id)
		}
	}
	one.wires = order
}

func (pr *protection) sortWires(wires []int) {
	m, c := pr.p.b.Machine, pr.p.b.AsIntended
	slices.SortFunc(wires, func(x, y int) int {
		return model.Compare(m.Wires[c.Elements[x].Row].Name, m.Wires[c.Elements[y].Row].Name)
	})
}
