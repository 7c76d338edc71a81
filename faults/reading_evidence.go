package faults

import (
	"cmp"
	"slices"
	"strings"

	"bellout/assets"
	"bellout/faults/diagnosis"
	"bellout/faults/explain"
	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// evidence is what the readings of a machine say.
type evidence struct {
	b         *Analysis
	judge     *judge.Judge
	stale     *judge.Staleness
	explainer *explain.Explainer
	proof     *proof

	weighed map[int64]*weighed
	pairs   map[touchKey][]int64 // readings of one pair under one condition, that stand and are fresh
	torn    map[touchKey]bool    // those that disagree among themselves
	odd     map[int64]*weighed   // those that stand, are fresh and contradict the map; volts too
	volts   map[int64]*weighed   // readings of volts that stand and are fresh

	live           *diagnosis.Live // nil until something is known of the running machine
	posterior      *diagnosis.Posterior
	weighedRunning bool // posterior is worked out
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

// newEvidence judges all readings of a machine that is laid out.
func newEvidence(b *Analysis) *evidence {
	j := judge.New(b.AsDrawn)
	e := &evidence{
		b: b, judge: j, stale: j.NewStaleness(), proof: newProof(b),
		weighed: map[int64]*weighed{}, pairs: map[touchKey][]int64{}, torn: map[touchKey]bool{}, odd: map[int64]*weighed{},
		volts: map[int64]*weighed{},
	}
	// readings under one condition after another share what is worked out for it
	readings := slices.Clone(b.Machine.Readings)
	slices.SortFunc(readings, func(x, y model.Reading) int {
		return cmp.Or(strings.Compare(x.Conditions.String(), y.Conditions.String()), cmp.Compare(x.Number, y.Number))
	})
	var counting []*weighed
	for _, r := range readings {
		w := e.weigh(r)
		e.weighed[r.Number] = w
		if w.judgement.Outcome == judge.Contradicts && r.Stands() && !w.stale {
			e.odd[r.Number] = w
		}
		if r.Mode.Volts() && r.Stands() && !w.stale {
			e.volts[r.Number] = w
		}
		if w.counts {
			counting = append(counting, w)
			e.pair(w)
		}
	}
	items := make([]explain.Item, 0, len(counting))
	for _, w := range counting {
		if e.torn[w.key] { // they speak of a joint that moves, not of where it is open
			continue
		}
		if item, ok := e.item(w); ok {
			items = append(items, item)
		}
		e.proof.add(e, w)
	}
	e.explainer = explain.New(j, assets.DefaultPriors(), b.culprits(), items)
	return e
}

// weigh judges a reading.
func (e *evidence) weigh(r model.Reading) *weighed {
	w := &weighed{under: r.Conditions, stale: e.stale.Stale(r)}
	red, _ := e.b.Machine.TerminalIndex(r.Red)
	black, _ := e.b.Machine.TerminalIndex(r.Black)
	r.Conditions = e.b.stays.withoutTakeOut(red, black, r.Conditions, false)
	w.reading, w.key, w.judgement = r, e.b.keyOf(r), e.judge.Judge(r)
	w.counts = judge.Evidence(r) && !w.stale
	return w
}

// pair puts a reading beside the others of its pair.
func (e *evidence) pair(w *weighed) {
	others := e.pairs[w.key]
	e.pairs[w.key] = append(others, w.reading.Number)
	if slices.ContainsFunc(others, func(number int64) bool { return e.disagree(e.weighed[number], w) }) {
		e.torn[w.key] = true
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
	return explain.Item{Reading: w.reading, Red: red, Black: black, Judgement: w.judgement, Gap: e.isGap(w.reading, w.judgement)}, true
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
	return e.b.MayBeJoined(red, black) && !e.foundApart(red, black, r.Number) && len(e.judge.OpenContacts(red, black, r.Conditions)) == 0
}

// foundApart says whether two islands (see Bench.meetAsIslands) were read as apart
// before a reading, more than once: then metal between them is a fault that came,
// and no wire that the map never had.
func (e *evidence) foundApart(red, black int, before int64) bool {
	if !e.b.AsDrawn.Wired(red) || !e.b.AsDrawn.Wired(black) {
		return false
	}
	nets := e.b.AsDrawn.Nets()
	a, b := nets.Of[red], nets.Of[black]
	times := 0
	for _, w := range e.weighed {
		if !w.counts || w.reading.Number >= before || len(w.reading.Conditions) > 0 || e.joins(w.reading) {
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
func (b *Analysis) MayBeJoined(red, black int) bool {
	nets := b.AsDrawn.Nets()
	if b.meetAsIslands(red, black) {
		return true
	}
	for _, t := range [2]int{red, black} {
		switch {
		case b.AsDrawn.Wired(t):
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
