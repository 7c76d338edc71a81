package faults

import (
	"bellout/assets"
	"bellout/faults/diagnosis"
	"bellout/faults/explain"
	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// evidence is what the readings of a machine say, reading by reading. A reading
// comes in or goes out without another look at the rest.
type evidence struct {
	b         *Bench
	judge     *judge.Judge
	stale     *judge.Staleness
	explainer *explain.Explainer
	proof     *proof

	weighed map[int64]*weighed
	pairs   map[touchKey][]int64 // readings of one pair under one condition, that stand and are fresh
	torn    map[touchKey]bool    // those that disagree among themselves
	odd     map[int64]*weighed   // those that stand, are fresh and contradict the map; volts too
	volts   map[int64]*weighed   // readings of volts that stand and are fresh
	highest int64                // the highest number that a stored reading had
	earlier *earlier             // see Session.grow; nil: it was made from nothing

	live           *diagnosis.Live // nil until something is known of the running machine
	posterior      *diagnosis.Posterior
	weighedRunning bool // posterior is of the readings as they are
}

// weighed is one reading with what became of it.
type weighed struct {
	reading   model.Reading    // what only took a battery out is left out of its conditions
	under     model.Conditions // all of them, as it was taken
	judgement judge.Judgement
	// Counts says whether the reading is evidence: it stands, it is not stale,
	// and it tells of conduction.
	counts bool
	stale  bool
	key    touchKey
}

func newEvidence(b *Bench) *evidence {
	j := judge.New(b.Drawn)
	e := &evidence{
		b: b, judge: j, stale: j.NewStaleness(), explainer: explain.New(j, assets.DefaultPriors()), proof: newProof(b),
		weighed: map[int64]*weighed{}, pairs: map[touchKey][]int64{}, torn: map[touchKey]bool{}, odd: map[int64]*weighed{},
		volts: map[int64]*weighed{},
	}
	e.explainer.Blamed = b.culprits()
	e.explainer.Gap = func(item *explain.Item) bool { return e.isGap(item.Reading, item.Judgement) }
	return e
}

// weigh judges a reading and takes it in nowhere.
func (e *evidence) weigh(r model.Reading) *weighed {
	w := &weighed{under: r.Conditions}
	red, _ := e.b.Machine.TerminalIndex(r.Red)
	black, _ := e.b.Machine.TerminalIndex(r.Black)
	r.Conditions = e.b.stays.withoutTakeOut(red, black, r.Conditions, false)
	w.reading, w.key = r, e.b.keyOf(r)
	known := false
	if w.judgement, known = e.judgedBefore(r); !known {
		w.judgement = e.judge.Judge(r)
	}
	w.stale = e.stale.Stale(r)
	w.counts = judge.Evidence(r) && !w.stale
	return w
}

// add takes a reading in.
func (e *evidence) add(r model.Reading) *weighed {
	w := e.weigh(r)
	e.take(w)
	e.highest = max(e.highest, r.Number)
	return w
}

func (e *evidence) take(w *weighed) {
	e.weighedRunning = false
	number := w.reading.Number
	e.weighed[number] = w
	if w.judgement.Outcome == judge.Contradicts && w.reading.Stands() && !w.stale {
		e.odd[number] = w
	}
	if w.reading.Mode.Volts() && w.reading.Stands() && !w.stale {
		e.volts[number] = w
	}
	if !w.counts {
		return
	}
	others := e.pairs[w.key]
	e.pairs[w.key] = append(others, number)
	if e.torn[w.key] {
		return
	}
	for _, other := range others {
		if e.disagree(e.weighed[other], w) {
			e.tear(w.key, others)
			return
		}
	}
	e.use(w)
}

// tear takes the readings of a pair that disagree out of the evidence: they
// speak of a joint that moves, not of where it is open.
func (e *evidence) tear(key touchKey, used []int64) {
	e.torn[key] = true
	for _, number := range used {
		e.drop(e.weighed[number])
	}
}

func (e *evidence) use(w *weighed) {
	if item, ok := e.item(w); ok {
		e.explainer.Add(item)
	}
	e.proof.add(e, w)
}

func (e *evidence) drop(w *weighed) {
	e.explainer.Remove(w.reading.Number)
	e.proof.remove(w.reading.Number)
}

// remove takes a reading out again.
func (e *evidence) remove(number int64) {
	w, known := e.weighed[number]
	if !known {
		return
	}
	e.weighedRunning = false
	delete(e.weighed, number)
	delete(e.odd, number)
	delete(e.volts, number)
	if !w.counts {
		return
	}
	rest := make([]int64, 0, len(e.pairs[w.key]))
	for _, other := range e.pairs[w.key] {
		if other != number {
			rest = append(rest, other)
		}
	}
	wasTorn := e.torn[w.key]
	if !wasTorn {
		e.drop(w)
	}
	delete(e.pairs, w.key)
	delete(e.torn, w.key)
	if len(rest) == 0 {
		return
	}
	if !wasTorn {
		e.pairs[w.key] = rest
		return
	}
	for _, other := range rest {
		e.take(e.weighed[other])
	}
}

// item makes evidence for the explainer; false where a reading hangs on what the
// map has no conductor for: a bond, a contact in an unknown position, a part behind
// a wire that nobody has drawn yet.
func (e *evidence) item(w *weighed) (explain.Item, bool) {
	if w.judgement.ByBond || w.judgement.ByContact {
		return explain.Item{}, false
	}
	red, _ := e.b.Machine.TerminalIndex(w.reading.Red)
	black, _ := e.b.Machine.TerminalIndex(w.reading.Black)
	if w.judgement.Unmapped && e.judge.WireMayLack(red, black) {
		return explain.Item{}, false // whatever it is, the map lacks it
	}
	return explain.Item{Reading: w.reading, Red: red, Black: black, Judgement: w.judgement}, true
}

// isGap says whether a reading that the map does not explain shows a wire that
// the map does not have yet, rather than a fault: a join where one may be.
func (e *evidence) isGap(r model.Reading, judgement judge.Judgement) bool {
	// A bond permits a join and is none: metal between what it permits to be
	// common, where the map has none, is a conductor that the map lacks.
	if judgement.Outcome != judge.Contradicts && !judgement.ByBond || !e.joins(r) {
		return false
	}
	for _, condition := range r.Conditions {
		if condition.Kind == model.Clipped {
			return false
		}
	}
	red, _ := e.b.Machine.TerminalIndex(r.Red)
	black, _ := e.b.Machine.TerminalIndex(r.Black)
	return e.b.MayBeJoined(red, black) && !e.foundApart(red, black) && len(e.judge.OpenContacts(red, black, r.Conditions)) == 0
}

// foundApart says whether two islands (see Bench.meetAsIslands) were read as
// apart before, more than once: then metal between them is a fault that came, and no wire that
// the map never had.
func (e *evidence) foundApart(red, black int) bool {
	if !e.b.Drawn.Wired(red) || !e.b.Drawn.Wired(black) {
		return false
	}
	nets := e.b.Drawn.Nets()
	a, b := nets.Of[red], nets.Of[black]
	times := 0
	for _, w := range e.weighed {
		if !w.counts || len(w.reading.Conditions) > 0 || e.joins(w.reading) {
			continue
		}
		x, _ := e.b.Machine.TerminalIndex(w.reading.Red)
		y, _ := e.b.Machine.TerminalIndex(w.reading.Black)
		if nets.Of[x] == a && nets.Of[y] == b || nets.Of[x] == b && nets.Of[y] == a {
			times++
		}
	}
	return times > 1 // one may be a tip that did not touch
}

// MayBeJoined says whether metal found between two terminals that the map does
// not join is a wire that it does not have yet. It is a fault where both have
// wires, and where both hang on wired nets of kinds that must never meet,
// whatever the terminal; but islands of a map that grows reading by reading meet
// some time, see island_gap.go.
func (b *Bench) MayBeJoined(red, black int) bool {
	nets := b.Drawn.Nets()
	if b.meetAsIslands(red, black) {
		return true
	}
	for _, t := range [2]int{red, black} {
		switch {
		case b.Drawn.Wired(t):
		case len(nets.Net(t).Wires) == 0:
			return true
		case !forbidden(nets.Kind(red)) || !forbidden(nets.Kind(black)):
			return true
		}
	}
	return false
}

// joins says whether a reading shows metal between its tips: a beep, or steady
// ohms under half an ohm.
func (e *evidence) joins(r model.Reading) bool {
	if !judge.Evidence(r) {
		return false
	}
	switch r.Mode {
	case model.ModeContinuity:
		return r.Value.Kind == model.ShowsBeep
	case model.ModeOhms:
		return r.Value.Kind == model.ShowsNumber && r.Value.Number-e.judge.Meter.LeadOhms < judge.MetalBelowOhms
	default:
		return false
	}
}

// forbidden says whether nets of a kind must meet no other such net by chance.
func forbidden(kind graphs.NetKind) bool {
	switch kind {
	case graphs.NetRail, graphs.NetReturn, graphs.NetEarth, graphs.NetLine, graphs.NetNeutral:
		return true
	default:
		return false
	}
}
