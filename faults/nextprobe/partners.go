package nextprobe

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
	fullAlready  = 0.1  // a signal that has both its ends seldom takes a third
	noneForRole  = 0.02 // a terminal with a role and no wire at all
	noneForWay   = 0.08 // a spare place
	none1More    = 1.03 // each silence makes a spare likelier
	copperOhms   = 0.7  // in series with a load, of wires whose length nobody has noted
	wordsWorth   = 0.8
	fewTerminals = 10 // of a class whose names and places are looked at one by one
)

type partner struct {
	class  *cluster
	weight float64
	chance float64
}

// partners returns the classes that a class most likely hangs together with.
func (s *survey) partners(p *Planner, c *cluster, wide bool) []partner {
	if c.near == nil || c.wide != wide {
		c.near, c.wide = s.weigh(p, c, wide), wide
	}
	return c.near
}

// mostPartners is how many partners of a class are kept, the likeliest.
const mostPartners = 6

// weigh returns the classes that a class most likely hangs together with, the
// likeliest first, with chances that sum to less than 1: it may have no
// wire at all. Cost: a look at what is near, or at all classes if wide.
func (s *survey) weigh(p *Planner, c *cluster, wide bool) []partner {
	guesses := s.inOrder(c)
	words := s.wordsNear(c)
	list := []partner{}
	total := 0.0
	s.looks++
	stamp := s.looks
	consider := func(other *cluster) {
		if other == c || other.stamp == stamp {
			return
		}
		other.stamp = stamp
		weight := s.weight(c, other, guesses, words)
		if weight <= 0 {
			return
		}
		total += weight
		one := partner{class: other, weight: weight}
		at := len(list)
		for at > 0 && likelier(one, list[at-1]) {
			at--
		}
		if at < mostPartners {
			list = slices.Insert(list, at, one)
			list = list[:min(len(list), mostPartners)]
		}
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
		s.cableEnds(c, consider)
	}
	none := noneForWay
	if !c.passOnly() {
		none = noneForRole
	}
	none *= math.Pow(none1More, float64(min(c.tries, 400)))
	for i := range list {
		if say := s.ohmsSay(p, c, list[i].class); say != 1 {
			total += list[i].weight * (say - 1)
			list[i].weight *= say
		}
	}
	for i := range list {
		list[i].chance = math.Max(list[i].weight/(total+none), s.together(c, list[i].class))
	}
	slices.SortStableFunc(list, func(a, b partner) int { return cmp.Compare(b.chance, a.chance) })
	return list
}

func likelier(a, b partner) bool {
	return a.weight > b.weight || a.weight == b.weight && a.class.terminals[0] < b.class.terminals[0]
}

// together is how likely two loads hang on one source by what they are for, or
// a load on a source, whatever else hangs there: the fewer sources of those
// volts, the likelier; learnt from the touches made. 0 where that says nothing.
func (s *survey) together(c, other *cluster) float64 {
	if s.bonded(c, other) {
		return 0.9 * math.Pow(missedAgain, float64(c.apart[other]))
	}
	kind := kindOfPair(c, other)
	if kind.x == kind.y && kind.x&(aimLine|aimNeutral|aimEarth) != 0 {
		return 0.7 * math.Pow(missedAgain, float64(c.apart[other]))
	}
	sources := 0
	switch {
	case kind.y == aimFeed && (kind.x == aimFeed || kind.x == aimRail):
		if len(c.volts) != 1 || len(other.volts) != 1 || c.volts[0] != other.volts[0] {
			return 0
		}
		sources = s.rails[c.volts[0]]
	case kind.y == aimReturn && (kind.x == aimReturn || kind.x == aimGround):
		sources = s.grounds
		if s.driven(c) || s.driven(other) {
			return 0 // its return may as well be a driver's output
		}
	}
	if sources == 0 {
		return 0
	}
	const sure, weight = 0.9, 4
	prior := sure / float64(sources)
	if kind.near {
		prior = sure / (1 + 0.3*float64(sources-1))
	}
	count := s.met[kind]
	chance := (count.hits + weight*prior) / (count.all + weight)
	return chance * math.Pow(missedAgain, float64(c.apart[other]))
}

// ohmsSay weighs a partner by what silences showed: a tip that reads a coil's
// ohms against a rail is on the far side of that coil, and what reads OL there
// is on no net that a coil leads to.
func (s *survey) ohmsSay(p *Planner, c, other *cluster) float64 {
	say := 1.0
	for _, seen := range c.seen {
		if s.class[seen.far] == other || s.class[seen.far] == c {
			continue
		}
		beyond := s.ohmsBetween(p, s.class[seen.far].terminals[0], other.terminals[0])
		switch {
		case math.IsInf(beyond, 1) && math.IsInf(seen.ohms, 1):
		case math.IsInf(beyond, 1):
			say *= 0.5
		case math.IsInf(seen.ohms, 1):
			say *= 0.05
		case seen.ohms < 0.85*beyond-0.1:
			say *= 0.2 // or what lies beside it is not mapped yet
		case seen.ohms <= 1.15*beyond+copperOhms:
			say *= 10
		default:
			say *= 0.1 // what the map has there could not read more
		}
	}
	return say
}

func (s *survey) ohmsBetween(p *Planner, a, b int) float64 {
	key := [2]int{min(a, b), max(a, b)}
	ohms, known := s.beyond[key]
	if !known {
		ohms = p.circuit.OhmsIf(key[0], key[1], nil)
		s.beyond[key] = ohms
	}
	return ohms
}

// weight is how likely two classes hang together, against others.
func (s *survey) weight(c, other *cluster, guesses []guess, words map[int]float64) float64 {
	weight := suits(c, other) * other.standing()
	if weight == 0 {
		return 0
	}
	count := s.met[kindOfPair(c, other)]
	weight *= (count.hits + 1) / (count.all + 4) * 4
	if meet(c.zones, other.zones) {
		weight *= sameZone
	} else if other.has&aimsSource == 0 {
		weight *= otherZone
	}
	for _, g := range guesses {
		if g.class == other {
			weight *= g.factor()
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
	weight *= s.siblings(c, other) * s.colours.factor(c, other) * s.alongCable(c, other)
	if other.has&aimsSource == 0 && !other.needs() {
		weight *= fullAlready
	}
	if times := c.apart[other]; times > 0 {
		weight *= math.Pow(missedAgain, float64(times))
	}
	return weight
}

// driven says whether a class is the return of nothing but a coil, a motor or a
// speaker, in a machine that has driver outputs.
func (s *survey) driven(c *cluster) bool {
	if !s.drives || c.has.main() != aimReturn || len(c.ends) != 1 {
		return false
	}
	switch s.devices[c.ends[0]].Kind.Known() {
	case model.KindSolenoid, model.KindRelay, model.KindMotor, model.KindSpeaker:
		return true
	default:
		return false
	}
}

// siblings is how much less or more likely two ends of signals are partners for
// their marks: the inputs of two drivers of one kind are not joined to each
// other, input 3 often is to output 3.
func (s *survey) siblings(c, other *cluster) float64 {
	if len(c.terminals) > fewTerminals || len(other.terminals) > fewTerminals || c.has&aimsSource != 0 || other.has&aimsSource != 0 {
		return 1
	}
	factor := 1.0
	for _, a := range c.terminals {
		for _, b := range other.terminals {
			if s.deviceOf[a] == s.deviceOf[b] {
				continue
			}
			same := s.number[a].number >= 0 && s.number[a].number == s.number[b].number
			alike := s.number[a].letters == s.number[b].letters
			signals := (aimOf(&s.terminals[a], false)|aimOf(&s.terminals[b], false))&^(aimSignal|aimDrive) == 0
			switch {
			case signals && alike && s.devices[s.deviceOf[a]].Kind == s.devices[s.deviceOf[b]].Kind:
				factor = math.Min(factor, 0.1)
			case signals && alike && !same:
				factor = math.Min(factor, 0.5)
			case signals && (same || s.terminals[a].Mark == s.terminals[b].Mark):
				factor = math.Max(factor, 3)
			}
		}
	}
	return factor
}

// wordsNear returns, by device, what names have in common with those of a class
// of few terminals.
func (s *survey) wordsNear(c *cluster) map[int]float64 {
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
func (p *Planner) mapTips(s *survey, c, other *cluster) (red, black int, found bool) {
	const most = 6
	reds, blacks := p.mapTipsOf(s, other, most), p.mapTipsOf(s, c, most)
	for _, red := range reds {
		for _, black := range blacks {
			key := [2]int{min(red, black), max(red, black)}
			if s.blocked[key] || !p.usable(red, black, nil) {
				continue
			}
			if !p.bench.MayBeJoined(red, black) || len(p.judge.OpenContacts(red, black, nil)) > 0 { // metal there would be a contact that stands closed
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
func (p *Planner) mapTipsOf(s *survey, c *cluster, most int) []int {
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
