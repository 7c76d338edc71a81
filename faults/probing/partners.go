package probing

import (
	"cmp"
	"math"
	"slices"

	"bellout/model"
)

// Judgement: how much likelier or less likely two classes are partners.
const (
	sameZone     = 3.0
	otherZone    = 0.6
	oneDevice    = 0.02 // a wire from a device to itself
	missedAgain  = 0.02 // a tip that did not touch reads as apart
	noneForRole  = 0.02 // a terminal with a role and no wire at all
	noneForWay   = 0.08 // a spare place
	none1More    = 1.03 // each silence makes a spare likelier
	wordsWorth   = 0.8
	fewTerminals = 10 // of a class whose names and places are looked at one by one
)

type partner struct {
	class  *class
	weight float64
	chance float64
}

// mostPartners is how many partners of a class are kept, the likeliest.
const mostPartners = 6

// partners returns the classes that a class most likely hangs together with,
// the likeliest first, with chances that sum to less than 1: it may have no
// wire at all. Cost: a look at what is near, or at all classes if wide.
func (s *survey) partners(c *class, wide bool) []partner {
	guesses := s.inOrder(c)
	words := s.wordsNear(c)
	var list []partner
	total := 0.0
	s.looks++
	stamp := s.looks
	consider := func(other *class) {
		if other == c || other.stamp == stamp {
			return
		}
		other.stamp = stamp
		weight := s.weight(c, other, guesses, words)
		if weight <= 0 {
			return
		}
		total += weight
		list = append(list, partner{class: other, weight: weight})
	}
	if wide || len(s.live) <= allInSight {
		for _, other := range s.live {
			consider(other)
		}
	} else {
		for _, zone := range c.zones[:min(len(c.zones), 3)] {
			for _, t := range s.inZone[zone] {
				consider(s.class[t])
			}
		}
		for _, g := range guesses {
			consider(g.class)
		}
		for _, t := range s.sources {
			consider(s.class[t])
		}
	}
	none := noneForWay
	if !c.passOnly() {
		none = noneForRole
	}
	none *= math.Pow(none1More, float64(min(c.tries, 400)))
	slices.SortFunc(list, func(a, b partner) int {
		if order := cmp.Compare(b.weight, a.weight); order != 0 {
			return order
		}
		return cmp.Compare(a.class.terminals[0], b.class.terminals[0])
	})
	list = list[:min(len(list), mostPartners)]
	for i := range list {
		list[i].chance = list[i].weight / (total + none)
	}
	return list
}

// weight is how likely two classes hang together, against others.
func (s *survey) weight(c, other *class, guesses []guess, words map[int]float64) float64 {
	weight := suits(c, other) * other.standing()
	if weight == 0 {
		return 0
	}
	count := s.met[kindOfPair(c, other)]
	weight *= (count[0] + 1) / (count[1] + 4) * 4
	if meet(c.zones, other.zones) {
		weight *= sameZone
	} else if other.has&aimsSource == 0 {
		weight *= otherZone
	}
	for _, g := range guesses {
		if g.class == other {
			weight *= g.factor
		}
	}
	if len(other.terminals) <= fewTerminals {
		best, own := 0.0, true
		for _, t := range other.terminals {
			best = math.Max(best, words[s.deviceOf[t]])
			own = own && s.deviceOf[t] == s.deviceOf[c.terminals[0]]
		}
		weight *= 1 + wordsWorth*best
		if own {
			weight *= oneDevice
		}
	}
	if times := c.apart[other]; times > 0 {
		weight *= math.Pow(missedAgain, float64(times))
	}
	return weight
}

// wordsNear returns, by device, what names have in common with those of a class
// of few terminals.
func (s *survey) wordsNear(c *class) map[int]float64 {
	if len(c.terminals) > fewTerminals {
		return nil
	}
	sum := map[int]float64{}
	var done []int
	for _, t := range c.terminals {
		if device := s.deviceOf[t]; !slices.Contains(done, device) {
			done = append(done, device)
			s.words.shared(device, sum)
		}
	}
	return sum
}

// tips returns a usable touch between two classes, such that metal there would
// be a wire found. A tip stays where it is if it can.
func (p *Planner) mapTips(s *survey, c, other *class) (red, black int, found bool) {
	const most = 6
	reds, blacks := p.mapTipsOf(s, other, most), p.mapTipsOf(s, c, most)
	for _, red := range reds {
		for _, black := range blacks {
			key := [2]int{min(red, black), max(red, black)}
			if s.blocked[key] || !p.usable(red, black, nil) {
				continue
			}
			if !p.bench.MayBeJoined(red, black) {
				s.blocked[key] = true
				continue
			}
			return red, black, true
		}
	}
	return 0, 0, false
}

// mapTipsOf returns a few terminals of a class for a tip: where one is now,
// where one was, free ones, then any.
func (p *Planner) mapTipsOf(s *survey, c *class, most int) []int {
	list := make([]int, 0, most)
	add := func(t int) {
		if len(list) < most && !slices.Contains(list, t) && !p.outOfReach(p.ref(t)) {
			list = append(list, t)
		}
	}
	if p.held != nil {
		for _, ref := range [2]model.TerminalRef{p.held.Red, p.held.Black} {
			if t, found := p.machine.TerminalIndex(ref); found && s.class[t] == c {
				add(t)
			}
		}
	}
	if c.parks >= 0 {
		add(c.parks)
	}
	if c.loose > 0 {
		free := 0
		for _, t := range c.terminals {
			if s.wired[t] == 0 {
				add(t)
				if free++; free == most/2 {
					break
				}
			}
		}
	}
	for _, t := range c.terminals {
		if len(list) == most {
			break
		}
		add(t)
	}
	return list
}
