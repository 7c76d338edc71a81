package faults

import (
	"cmp"
	"slices"

	"bellout/faults/explain"
	"bellout/faults/judge"
	"bellout/model"
)

const nameFailedPart = "failed-part"

var ruleFailedPart = Rule{
	Name:  nameFailedPart,
	Title: "A part that fails, not the wiring",
	Why: "Volts out of limits accuse a supply: above a feed's max_v or above the supply's own rail (high), next to nothing (dead), below the " +
		"limits (low), AC above 1 % of a DC rail (ripple), the wrong sign (reversed). At the supply's own terminals they accuse the supply; at a load " +
		"they do not while the supply itself reads right: then the way between is bad. A load can pull a rail down, it cannot lift it. Nothing is said " +
		"of what the map explains: a plug that is out, a contact that is open, an output that nobody drove, a rail that another one meets, a break or " +
		"a short that other readings prove. Of several readings of the same two points the last one counts.",
	Check: checkFailedPart,
}

func checkFailedPart(b *Analysis) []Finding { return b.explained[nameFailedPart] }

var failModes = map[judge.RailVerdict]FailMode{
	judge.RailHigh: FailHigh, judge.RailLow: FailLow, judge.RailDead: FailDead, judge.RailRipple: FailRipple, judge.RailReversed: FailReversed,
}

// railEvidence is what the volts say of every supply.
type railEvidence struct {
	e        *evidence
	current  []*weighed // readings across rails that no later one replaces, the first stored first
	of       map[*weighed][]int
	accused  map[int]*accusation // by place in Parts.Supplies
	sound    map[soundKey]bool   // a supply's own terminals read right
	right    map[soundKey]bool   // some place on its rail does
	explains []explain.Explanation
}

type soundKey struct {
	supply int
	ripple bool
}

// accusation is what one cause calls for: a supply that gives wrong volts, or a
// way to loads of one.
type accusation struct {
	mode     FailMode
	supplies []int      // the supply, or those that have it in common; the culprit first
	own      []*weighed // at its own terminals
	away     []*weighed // elsewhere on its rail
}

// failedPartFindings returns what volts out of limits call for, by rule: the
// supplies that are guilty, and the ways that are where the supply is not.
// Readings that a finding of the others' explains are added to that.
func (e *evidence) failedPartFindings(byRule map[string][]Finding) []Finding {
	r := &railEvidence{e: e, of: map[*weighed][]int{}, accused: map[int]*accusation{}, sound: map[soundKey]bool{}, right: map[soundKey]bool{}}
	r.gather()
	if len(r.current) == 0 {
		return nil
	}
	r.explains = e.explainer.Explain()
	r.current = slices.DeleteFunc(r.current, func(w *weighed) bool { return r.bad(w) && r.explained(w, byRule) })
	var list []*accusation
	for _, w := range r.current {
		if r.bad(w) && w.judgement.Rail.Own() >= 0 {
			list = r.accuse(list, w)
		}
	}
	list = r.common(list)
	ways := map[string]*accusation{}
	var order []string
	for _, w := range r.current {
		if !r.bad(w) || w.judgement.Rail.Own() >= 0 || r.joins(list, w) {
			continue
		}
		key := r.wayKey(w)
		if ways[key] == nil {
			ways[key] = &accusation{mode: failModes[w.judgement.Rail.Verdict], supplies: r.of[w]}
			order = append(order, key)
		}
		ways[key].away = append(ways[key].away, w)
	}
	var findings []Finding
	for _, a := range list {
		findings = append(findings, r.guilty(a))
	}
	for _, key := range order {
		findings = append(findings, r.onTheWay(ways[key]))
	}
	return findings
}

// gather sorts out the readings across rails: what each is of, and which supplies
// and rails read right.
func (r *railEvidence) gather() {
	for _, number := range sortedKeys(r.e.volts) {
		w := r.e.volts[number]
		v := w.judgement.Rail
		if v.Verdict < judge.RailGood || r.e.replaced(w) {
			continue
		}
		r.current = append(r.current, w)
		for _, o := range v.Outputs {
			r.of[w] = append(r.of[w], o.Supply)
		}
		if len(v.Outputs) == 0 && v.Load >= 0 {
			r.of[w] = r.e.b.Feeding(v.Load)
		}
		if v.Verdict != judge.RailGood {
			continue
		}
		for _, supply := range r.of[w] {
			key := soundKey{supply, w.reading.Mode == model.ModeVoltsAC}
			r.right[key] = true
			r.sound[key] = r.sound[key] || v.Own() == supply
		}
	}
}

// replaced says whether a later final reading of the same two points, of a machine
// that was as whole, takes a reading's place.
func (e *evidence) replaced(w *weighed) bool {
	for _, later := range e.volts {
		if SamePair(later.reading, w.reading) && after(later.reading, w.reading) && later.reading.Drift.Final() &&
			asWhole(later.reading.Conditions, w.reading.Conditions) {
			return true
		}
	}
	return false
}

func (r *railEvidence) bad(w *weighed) bool { return w.judgement.Rail.Verdict > judge.RailGood }

// accuse adds a bad reading at a supply's own terminals to what accuses the supply;
// what only follows from a supply further up belongs to that.
func (r *railEvidence) accuse(list []*accusation, w *weighed) []*accusation {
	supply, mode := w.judgement.Rail.Own(), failModes[w.judgement.Rail.Verdict]
	for _, a := range list {
		same := r.device(a.supplies[0]) == r.device(supply) && fits(a.mode, mode)
		if same || fits(a.mode, mode) && mode != FailHigh && mode != FailRipple && r.feeds(a.supplies[0], supply, 0) {
			a.own = append(a.own, w)
			a.supplies = eachOnce(append(a.supplies, supply))
			if a.mode == FailLow && mode == FailDead {
				a.mode = mode
			}
			return list
		}
	}
	return append(list, &accusation{mode: mode, supplies: []int{supply}, own: []*weighed{w}})
}

// common joins supplies that are dead together behind one plug: what they share is
// likelier than that all of them died.
func (r *railEvidence) common(list []*accusation) []*accusation {
	slices.SortStableFunc(list, func(x, y *accusation) int { return cmp.Compare(r.depth(x.supplies[0]), r.depth(y.supplies[0])) })
	var kept []*accusation
	for _, a := range list {
		joined := false
		for _, other := range kept {
			onMains := a.mode == FailDead && other.mode == FailDead && r.onMains(a.supplies[0]) && r.onMains(other.supplies[0]) && !r.plugGives()
			follows := fits(other.mode, a.mode) && a.mode != FailHigh && a.mode != FailRipple && r.feeds(other.supplies[0], a.supplies[0], 0)
			if onMains || follows {
				other.own = append(other.own, a.own...)
				other.supplies = eachOnce(append(other.supplies, a.supplies...))
				joined = true
				break
			}
		}
		if !joined {
			kept = append(kept, a)
		}
	}
	return kept
}

// plugGives says whether some supply on the mains reads right: then the plug and
// what lies before all of them are not to blame.
func (r *railEvidence) plugGives() bool {
	for key := range r.right {
		if !key.ripple && r.onMains(key.supply) {
			return true
		}
	}
	return false
}

// onMains says whether the mains feed a supply directly.
func (r *railEvidence) onMains(supply int) bool {
	return slices.ContainsFunc(r.e.b.Machine.Terminals, func(t model.Terminal) bool {
		return t.Device == r.device(supply) && t.Role == model.RoleLine
	})
}

// fits says whether a reading of a mode may follow from a supply that failed in
// another.
func fits(supply, reading FailMode) bool {
	sags := func(m FailMode) bool { return m == FailLow || m == FailDead }
	return supply == reading || sags(supply) && sags(reading)
}

// joins adds a bad reading elsewhere on a rail to the supply that is accused of it.
func (r *railEvidence) joins(list []*accusation, w *weighed) bool {
	mode := failModes[w.judgement.Rail.Verdict]
	for _, a := range list {
		if !fits(a.mode, mode) {
			continue
		}
		for _, supply := range r.of[w] {
			if slices.Contains(a.supplies, supply) || mode != FailHigh && mode != FailRipple && r.feeds(a.supplies[0], supply, 0) {
				a.away = append(a.away, w)
				return true
			}
		}
	}
	return false
}

func (r *railEvidence) device(supply int) string { return r.e.b.Parts.Supplies[supply].Device }

// mostStages bounds how many converters stand one behind the other.
const mostStages = 8

// feeds says whether one supply feeds the device of another, over as many stages
// as it takes.
func (r *railEvidence) feeds(upper, lower, stage int) bool {
	if upper == lower || stage > mostStages {
		return false
	}
	for _, load := range r.e.b.loadsOf(r.device(lower)) {
		for _, supply := range r.e.b.Feeding(load) {
			if supply == upper || r.device(supply) != r.device(lower) && r.feeds(upper, supply, stage+1) {
				return true
			}
		}
	}
	return false
}

// depth is how many converters stand before a supply.
func (r *railEvidence) depth(supply int) int {
	most := 0
	for other := range r.accusedOrRead() {
		if r.feeds(other, supply, 0) {
			most++
		}
	}
	return most
}

func (r *railEvidence) accusedOrRead() map[int]bool {
	list := map[int]bool{}
	for _, supplies := range r.of {
		for _, supply := range supplies {
			list[supply] = true
		}
	}
	return list
}

// wayKey groups bad readings elsewhere on a rail that one cause can make.
func (r *railEvidence) wayKey(w *weighed) string {
	mode := failModes[w.judgement.Rail.Verdict]
	if mode == FailLow {
		mode = FailDead
	}
	key := string(mode)
	for _, supply := range r.of[w] {
		key += " " + r.e.b.name(r.e.b.Parts.Supplies[supply].Rail)
	}
	if mode == FailHigh && r.acquitted(r.of[w], false) { // each place for itself: something else comes in there
		key += " at " + r.e.b.name(r.railTip(w))
	}
	return key
}

// acquitted says whether some of the supplies read right themselves.
func (r *railEvidence) acquitted(supplies []int, ripple bool) bool {
	return slices.ContainsFunc(supplies, func(s int) bool { return r.sound[soundKey{s, ripple}] })
}

// rightAnywhere says whether some place on the rail of one of the supplies reads
// right.
func (r *railEvidence) rightAnywhere(supplies []int, ripple bool) bool {
	return slices.ContainsFunc(supplies, func(s int) bool { return r.right[soundKey{s, ripple}] })
}

// railTip is the tip of a reading that is on the rail or the feed.
func (r *railEvidence) railTip(w *weighed) int {
	red, black := r.e.tips(w)
	v := w.judgement.Rail
	if v.Load >= 0 {
		return r.e.b.Parts.Loads[v.Load].Feed
	}
	nets := r.e.judge.View(w.reading.Conditions).Nets()
	for _, o := range v.Outputs {
		if nets.Same(black, r.e.b.Parts.Supplies[o.Supply].Rail) {
			return black
		}
	}
	return red
}
