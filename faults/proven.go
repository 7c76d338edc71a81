package faults

import (
	"math"
	"slices"

	"bellout/faults/explain"
	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// Proven says how much of the map readings prove.
//
// A wire is proven by an agreeing reading that would have been surprising with
// the wire open: a beep through a coil that lies in parallel proves nothing, a
// beep between the ends of a chain proves the chain, and a ring hides each of
// its wires. Two nets are proven apart by an agreeing reading that would have
// been surprising with the two joined.
type Proven struct {
	Wires         int `json:"wires"`
	OfWires       int `json:"of"`
	Separations   int `json:"separations"`
	OfSeparations int `json:"of_separations"`
}

// proof keeps what each reading proves.
type proof struct {
	b     *Analysis
	of    map[int64]proved
	wires map[int][]int64 // by place in Machine.Wires: the readings that prove it
	apart map[netPair]int // how many readings prove two nets apart
	total Proven

	bypass map[int]float64 // by wire: the ohms round it when it is open
}

type proved struct {
	wires []int
	apart []netPair
}

// netPair names two nets of Apart, the smaller first.
type netPair struct{ a, b int }

func newProof(b *Analysis) *proof {
	p := &proof{b: b, of: map[int64]proved{}, wires: map[int][]int64{}, apart: map[netPair]int{}, bypass: map[int]float64{}}
	for _, wire := range b.Machine.Wires {
		if wire.Runs() {
			p.total.OfWires++
		}
	}
	rails, others := 0, 0
	for _, net := range b.AsIntended.Nets().List {
		switch net.Kind {
		case graphs.NetRail:
			rails++
		case graphs.NetReturn, graphs.NetEarth:
			others++
		}
	}
	p.total.OfSeparations = rails*(rails-1)/2 + rails*others
	return p
}

// add notes what a reading proves.
func (p *proof) add(e *evidence, w *weighed) {
	if w.judgement.Outcome != judge.Agrees || w.judgement.ByBond {
		return
	}
	made := proved{wires: p.wiresOf(e, w), apart: p.separationsOf(e, w)}
	if len(made.wires) == 0 && len(made.apart) == 0 {
		return
	}
	number := w.reading.Number
	p.of[number] = made
	for _, row := range made.wires {
		p.wires[row] = append(p.wires[row], number)
	}
	for _, pair := range made.apart {
		p.apart[pair]++
	}
}

func (p *proof) proven() Proven {
	total := p.total
	total.Wires, total.Separations = len(p.wires), len(p.apart)
	return total
}

// byWire returns the readings that prove a wire.
func (p *proof) byWire(name string) []int64 {
	row, found := p.b.Machine.WireIndex(name)
	if !found {
		return nil
	}
	return p.wires[row]
}

// unlikely is how much less likely a reading must be without a wire, or with
// two nets joined, than with the machine as drawn, to prove anything. A beep
// that electronics alone could give is that unlikely.
const unlikely = 0.2

func (p *proof) surprising(e *evidence, w *weighed, otherwise judge.Observed) bool {
	meter := e.judge.Meter
	return meter.Likelihood(w.reading, otherwise) < unlikely*meter.Likelihood(w.reading, w.judgement.Sight)
}

// wiresOf returns the wires without which the reading would be surprising.
func (p *proof) wiresOf(e *evidence, w *weighed) []int {
	if math.IsInf(w.judgement.Sight.Ohms, 1) {
		return nil
	}
	red, _ := p.b.Machine.TerminalIndex(w.reading.Red)
	black, _ := p.b.Machine.TerminalIndex(w.reading.Black)
	var rows []int
	if w.judgement.Sight.Metal && len(w.reading.Conditions) == 0 {
		for _, id := range e.judge.Metal().BridgesBetween(red, black) {
			if p.b.isWire(id) && p.surprising(e, w, p.without(id)) {
				rows = append(rows, id)
			}
		}
		return rows
	}
	for _, id := range explain.Between(e.judge.View(w.reading.Conditions), red, black) {
		if id < len(p.b.Machine.Wires) && p.b.isWire(id) { // no clip lead
			open := []graphs.ElementChange{{Element: id, Ohms: math.Inf(1)}}
			if p.surprising(e, w, sightOf(e.judge.OhmsIf(red, black, w.reading.Conditions, open))) {
				rows = append(rows, id)
			}
		}
	}
	return rows
}

// without returns what a meter faces across a wire that is open, in a net of
// which the wire is a bridge: between any two terminals on its two sides it
// faces the same, but for copper.
func (p *proof) without(id int) judge.Observed {
	if ohms, known := p.bypass[id]; known {
		return sightOf(ohms)
	}
	element := p.b.AsDrawn.Elements[id]
	ohms := p.b.AsDrawn.OhmsIf(element.A, element.B, []graphs.ElementChange{{Element: id, Ohms: math.Inf(1)}})
	p.bypass[id] = ohms
	return sightOf(ohms)
}

func sightOf(ohms float64) judge.Observed {
	return judge.Observed{Prediction: graphs.Prediction{Ohms: ohms, LeastOhms: ohms}}
}

// separationsOf returns the pairs of nets that the reading proves apart.
func (p *proof) separationsOf(e *evidence, w *weighed) []netPair {
	if w.judgement.Sight.Metal {
		return nil
	}
	red, _ := p.b.Machine.TerminalIndex(w.reading.Red)
	black, _ := p.b.Machine.TerminalIndex(w.reading.Black)
	ofRed, ofBlack := p.netsAt(w.reading, red, black), p.netsAt(w.reading, black, red)
	var pairs []netPair
	seen := map[netPair]bool{}
	tells, asked := false, false // of a join at the tips themselves, or at clips on them: all the same to the meter
	for i, a := range ofRed.terminals {
		for j, b := range ofBlack.terminals {
			pair := netPair{min(p.b.NetOf(a), p.b.NetOf(b)), max(p.b.NetOf(a), p.b.NetOf(b))}
			if seen[pair] || !p.counts(pair) {
				continue
			}
			surprises := tells
			if atTips := i < ofRed.alike && j < ofBlack.alike; !atTips || !asked {
				joined := []graphs.ElementChange{{Element: -1, A: a, B: b}}
				surprises = p.surprising(e, w, sightOf(e.judge.OhmsIf(red, black, w.reading.Conditions, joined)))
				if atTips {
					tells, asked = surprises, true
				}
			}
			if surprises {
				seen[pair] = true
				pairs = append(pairs, pair)
			}
		}
	}
	return pairs
}

// tipNets are terminals of the nets that a tip touches, one or more for each; the
// first alike of them are the tip and what clip leads join to it.
type tipNets struct {
	terminals []int
	alike     int
}

// netsAt returns terminals of the nets that a tip may touch: its own, those that
// clip leads join to it, and those of bundles on neither tip.
func (p *proof) netsAt(r model.Reading, tip, far int) tipNets {
	joined, loose := []int{tip}, []int(nil)
	for _, condition := range r.Conditions {
		var list []int
		for _, ref := range condition.ClippedRefs() {
			if t, found := p.b.Machine.TerminalIndex(ref); found {
				list = append(list, t)
			}
		}
		switch {
		case slices.Contains(list, tip):
			joined = append(joined, slices.DeleteFunc(list, func(t int) bool { return t == tip })...)
		case !slices.Contains(list, far):
			loose = append(loose, list...)
		}
	}
	return tipNets{append(joined, loose...), len(joined)}
}

// counts says whether a pair is one of those that have to be proven apart.
func (p *proof) counts(pair netPair) bool {
	if pair.a == pair.b {
		return false
	}
	nets := p.b.AsIntended.Nets().List
	kindA, kindB := nets[pair.a].Kind, nets[pair.b].Kind
	return (kindA == graphs.NetRail && separate(kindB)) || (kindB == graphs.NetRail && separate(kindA))
}

func separate(kind graphs.NetKind) bool {
	return kind == graphs.NetRail || kind == graphs.NetReturn || kind == graphs.NetEarth
}
