package explain

import (
	"encoding/binary"
	"math"
	"slices"
)

// Bounds of the search for sets of faults.
const (
	mostFaults = 5    // in one group of readings
	beam       = 16   // sets that are extended
	mostSets   = 1500 // sets of several faults that are weighed
)

// doubt is how far, in nats, a reading's likelihood under a set may lie below
// the best that any hypothesis gives it before it counts as unexplained.
const doubt = 2.0

// diagnosis is a set of hypotheses with its weight.
type diagnosis struct {
	members []int        // places in group.hypotheses, rising
	items   []evidenceOf // by place in group.evidence
	prior   float64
	score   float64
}

// search weighs sets of hypotheses for one group.
type search struct {
	x       *Explainer
	g       *group
	base    []evidenceOf
	alone   [][]evidenceOf // by hypothesis, by item
	touches [][]bool       // by hypothesis, by item: it concerns the item
	best    []float64
	// clusters are the items that show about the same number: what the parts on
	// their way differ from the map is one thing for all of them. -1: in none.
	clusters []int
	lifts    []lift
	classes  []int // by hypothesis: what it says is wrong
	all      []diagnosis
	seen     map[string]bool
}

// solve finds the likeliest set of faults for a group.
func (x *Explainer) solve(g *group) Explanation {
	s := x.weighSets(g)
	e := s.explanation()
	e.suspicion = s.suspicion()
	return e
}

// weighSets weighs sets of a group's hypotheses, the likeliest first.
func (x *Explainer) weighSets(g *group) *search {
	s := &search{x: x, g: g, seen: map[string]bool{}, clusters: clustersOf(g.evidence), lifts: x.liftsOf(g.evidence)}
	for _, item := range g.evidence {
		s.base = append(s.base, x.base(item))
		s.best = append(s.best, s.base[len(s.base)-1].log) // the most that nothing wrong or one fault gives it
	}
	s.alone, s.touches = make([][]evidenceOf, len(g.hypotheses)), make([][]bool, len(g.hypotheses))
	for h, hypothesis := range g.hypotheses {
		s.alone[h], s.touches[h] = slices.Clone(s.base), make([]bool, len(g.evidence))
		for i, item := range g.evidence {
			s.alone[h][i] = x.likelihood(item, hypothesis)
			s.touches[h][i] = s.alone[h][i].concerned
			s.best[i] = math.Max(s.best[i], s.alone[h][i].log)
		}
	}
	s.findClasses()
	s.add(nil, s.base, 0)
	level := []int{0}
	for size := 1; size <= mostFaults && len(level) > 0 && len(s.all) < len(g.hypotheses)+mostSets; size++ {
		before := s.topScore()
		level = s.extend(level)
		if size > 1 && s.topScore() <= before {
			break
		}
	}
	return s
}

func (s *search) add(members []int, items []evidenceOf, prior float64) {
	score := prior + s.sum(items)
	if len(s.lifts) > 0 {
		set := make([]Hypothesis, len(members))
		for k, h := range members {
			set[k] = s.g.hypotheses[h]
		}
		for _, l := range s.lifts {
			score -= l.against(s.x, set)
		}
	}
	s.all = append(s.all, diagnosis{members, items, prior, score})
}

// sum puts together what items tell: of a cluster, how far its parts are off
// counts once.
func (s *search) sum(items []evidenceOf) float64 {
	sum := 0.0
	most := make([]float64, len(items))
	for i, l := range items {
		sum += l.log
		if cluster := s.clusters[i]; cluster >= 0 {
			sum += l.shared
			most[cluster] = math.Max(most[cluster], l.shared)
		}
	}
	for _, shared := range most {
		sum -= shared
	}
	return sum
}

func (s *search) topScore() float64 {
	top := math.Inf(-1)
	for _, c := range s.all {
		top = math.Max(top, c.score)
	}
	return top
}

// Of the sets of one level, those that promise most are weighed: at most
// mostWeighed, and none that promises so much less than the best that it would
// not count.
const (
	mostWeighed = 90
	hopeless    = 16.0 // nats
)

// extend adds one fault to the best sets of a level, where they leave readings
// unexplained, and returns the places of the new sets.
func (s *search) extend(level []int) []int {
	slices.SortStableFunc(level, func(a, b int) int { return CompareChances(s.all[b].score, s.all[a].score) })
	if len(level) > beam {
		level = level[:beam]
	}
	type promise struct {
		from, h int
		members []int
		score   float64
	}
	var list []promise
	for _, place := range level {
		from := s.all[place]
		open := s.unexplained(from)
		if len(open) == 0 {
			continue
		}
		for h := range s.g.hypotheses {
			if !s.worth(from, h, open) {
				continue
			}
			members := append(slices.Clone(from.members), h)
			slices.Sort(members)
			key := setKey(members)
			if s.seen[key] {
				continue
			}
			s.seen[key] = true
			prior := from.prior + math.Log(s.g.hypotheses[h].Prior)
			list = append(list, promise{place, h, members, prior + s.sum(s.together(from, h, members, s.guess))})
		}
	}
	if len(level) > 0 && len(s.all[level[0]].members) > 0 {
		slices.SortStableFunc(list, func(a, b promise) int { return CompareChances(b.score, a.score) })
		top := s.topScore()
		for at, l := range list {
			if at >= mostWeighed || l.score < top-hopeless && at >= beam {
				list = list[:at]
				break
			}
		}
	}
	var added []int
	for _, l := range list {
		from := s.all[l.from]
		added = append(added, len(s.all))
		s.add(l.members, s.together(from, l.h, l.members, s.jointly), from.prior+math.Log(s.g.hypotheses[l.h].Prior))
	}
	return added
}

func setKey(members []int) string {
	key := make([]byte, 0, 2*len(members))
	for _, h := range members {
		key = append(key, byte(h>>8), byte(h))
	}
	return string(key)
}

// unexplained returns the items that a set leaves surprising.
func (s *search) unexplained(c diagnosis) []int {
	var open []int
	for i, l := range c.items {
		if s.g.evidence[i].Surprising() && l.log < s.best[i]-doubt {
			open = append(open, i)
		}
	}
	return open
}

// worth says whether a hypothesis is compatible with a set and explains
// something that the set leaves open.
func (s *search) worth(from diagnosis, h int, open []int) bool {
	for _, member := range from.members {
		if s.clash(member, h) {
			return false
		}
	}
	for _, i := range open {
		if s.alone[h][i].log-s.base[i].log > helps {
			return true
		}
	}
	return len(from.members) == 0
}

// clash says whether two hypotheses are about the same thing.
func (s *search) clash(p, q int) bool {
	a, b := s.g.hypotheses[p], s.g.hypotheses[q]
	if a.Fault == Short && b.Fault == Short {
		return a.Spot() == b.Spot()
	}
	if a.A >= 0 && a.A == b.A && a.Fault != Short && b.Fault != Short {
		return true
	}
	for _, e := range a.elements(s.x.judge.Rest) {
		if slices.Contains(b.elements(s.x.judge.Rest), e) {
			return true
		}
	}
	return false
}

// together returns what the items tell under a set with one more hypothesis. An
// item that fewer than two of the members concern is not predicted anew; of the
// others several says what they do together.
func (s *search) together(from diagnosis, h int, members []int, several func(i int, members []int) evidenceOf) []evidenceOf {
	items := slices.Clone(from.items)
	for i := range items {
		if !s.touches[h][i] {
			continue
		}
		var touching []int
		for _, member := range members {
			if s.touches[member][i] {
				touching = append(touching, member)
			}
		}
		if len(touching) == 1 {
			items[i] = s.alone[h][i]
		} else {
			items[i] = several(i, touching)
		}
	}
	return items
}

// guess hopes that of several faults the one that explains an item best has its
// way; and where none does by itself, that they do together, as two joins make a
// third.
func (s *search) guess(i int, members []int) evidenceOf {
	best := s.alone[members[0]][i]
	for _, h := range members[1:] {
		if l := s.alone[h][i]; l.log > best.log {
			best = l
		}
	}
	if s.g.evidence[i].Surprising() && best.log < s.best[i]-doubt {
		best = evidenceOf{log: s.best[i] - doubt}
	}
	return best
}

// jointly returns what an item tells under several hypotheses at once; it is
// worked out once.
func (s *search) jointly(i int, members []int) evidenceOf {
	ids := make([]int32, len(members))
	for k, h := range members {
		ids[k] = s.x.placeID(s.g.hypotheses[h].Place)
	}
	slices.Sort(ids)
	item := s.g.evidence[i]
	key := jointKey{placesKey(ids), item.said}
	if known, done := s.x.jointly[key]; done {
		return known
	}
	set := make([]Hypothesis, len(members))
	for k, h := range members {
		set[k] = s.g.hypotheses[h]
	}
	value := s.x.weigh(item, set...)
	if len(s.x.jointly) >= mostKept {
		clear(s.x.jointly)
	}
	s.x.jointly[key] = value
	return value
}

// placesKey names a set of places by their ids, rising.
func placesKey(ids []int32) string {
	key := make([]byte, 0, 4*len(ids))
	for _, id := range ids {
		key = binary.BigEndian.AppendUint32(key, uint32(id))
	}
	return string(key)
}
