package nextprobe

import (
	"fmt"
	"slices"

	"bellout/graphs"
	"bellout/model"
)

// levels are the chances of a join under which a touch waits: first what is
// likely is asked for in every zone, then what is less so.
var levels = []float64{0.1, 0.02, 0.002}

const (
	// allInSight is how many pieces of metal are weighed against each other at
	// once; where there are more, zone after zone is mapped.
	allInSight = 320
	// mostInWindow is how many of a zone are weighed at once.
	mostInWindow = 120
)

// discover proposes the touch that most likely finds a wire that the map does
// not have, for its trouble. A piece of metal that lacks a wire is tried against
// what is most likely its partner, the likeliest first. A silence keeps two
// apart with all that hangs on them, a join makes them one, and what has all it
// needs asks no more. The tips stay in one zone, and one of them where it is,
// as long as that is worth it.
func (p *Planner) discover() (Proposal, bool) {
	s := p.survey()
	if p.held == nil && p.options.Start != "" { // whoever stands somewhere begins there, be it ever so unlikely
		for level := range levels {
			if proposal, found := p.discoverAmong(s, s.starting(p), level); found {
				return proposal, true
			}
		}
	}
	level, zone := &p.mapping.level, p.mappingZone(s)
	for ; *level < len(levels); *level++ {
		if proposal, found := p.discoverAmong(s, s.starting(p), *level); found {
			return proposal, true
		}
		if len(s.live) <= allInSight {
			if proposal, found := p.discoverAmong(s, s.live, *level); found {
				return proposal, true
			}
			continue
		}
		for range s.zones {
			if proposal, found := p.discoverIn(s, zone, *level); found {
				p.mapping.zone, p.mapping.zoned = s.zones[zone], true
				return proposal, true
			}
			zone = (zone + 1) % len(s.zones)
		}
	}
	p.mapping.begun = false
	return Proposal{}, false
}

// starting returns the classes of the device that mapping begins at; none where
// nobody named one.
func (s *survey) starting(p *Planner) []*cluster {
	if p.options.Start == "" {
		return nil
	}
	var list []*cluster
	for t := range s.terminals {
		if c := s.class[t]; s.terminals[t].Device == p.options.Start && len(list) < mostInWindow && !slices.Contains(list, c) {
			list = append(list, c)
		}
	}
	return list
}

// discoverIn proposes a touch in a zone, a window of it after the other.
func (p *Planner) discoverIn(s *survey, zone, level int) (Proposal, bool) {
	s.looks++
	stamp := s.looks
	var window []*cluster
	for _, t := range s.inZone[zone] {
		c := s.class[t]
		if s.wired[t] > 0 && c.loose > 0 || c.held == stamp {
			continue
		}
		c.held = stamp
		if !s.needs(c) {
			continue
		}
		window = append(window, c)
		if len(window) == mostInWindow {
			if proposal, found := p.discoverAmong(s, window, level); found {
				return proposal, true
			}
			window = window[:0]
		}
	}
	return p.discoverAmong(s, window, level)
}

// discoverAmong proposes the likeliest touch for its trouble of those for some
// classes, as likely as a level asks for at least.
func (p *Planner) discoverAmong(s *survey, among []*cluster, level int) (Proposal, bool) {
	var red, black int
	most, chance := 0.0, 0.0
	wide := level == len(levels)-1
	for _, c := range among {
		if !s.needs(c) {
			continue
		}
		for _, partner := range s.partners(p, c, wide) {
			if partner.chance < levels[level] || partner.chance <= most {
				break // the rest is less likely still
			}
			a, b, found := p.mapTips(s, c, partner.class)
			if !found {
				continue
			}
			if score := partner.chance / p.trouble(a, b, nil); score > most {
				red, black, most, chance = a, b, score, partner.chance
			}
			break
		}
	}
	if most == 0 {
		return Proposal{}, false
	}
	p.mapping.begun = true
	return p.discoverProposal(s, red, black, chance), true
}

// wantsMap says whether most of the map is missing: more terminals wait for
// their first wire than have one. Once begun, mapping goes on to its end.
func (p *Planner) wantsMap() bool {
	if p.mapping.begun {
		return true
	}
	loose := p.loose()
	return loose > 0 && 2*loose > len(p.machine.Terminals)
}

// loose counts terminals without a wire that somebody can get to.
func (p *Planner) loose() int {
	count := 0
	for t := range p.machine.Terminals {
		wired := slices.ContainsFunc(p.circuit.Incident(t), func(id int32) bool {
			e := p.circuit.Elements[id]
			return e.Kind == graphs.Wire && e.Present
		})
		if !wired && !p.outOfReach(p.ref(t)) {
			count++
		}
	}
	return count
}

func (p *Planner) discoverProposal(s *survey, red, black int, chance float64) Proposal {
	// By the number: a lamp or a coil that nobody has mapped yet beeps like a wire.
	mode := model.ModeOhms
	made := p.proposal(red, black, mode, nil)
	made.GainBits = bits(gain(chance, p.judge.Meter.MissedTouch))
	// The tips may be on a wired end of what lacks a wire: the end that has none is named.
	lacks, partner := black, red
	if s.wired[black] > 0 && s.wired[red] == 0 {
		lacks, partner = red, black
	}
	what := "has no wire on the map yet"
	if s.wired[lacks] > 0 {
		what = "and all that is joined to it lack a wire on the map"
	}
	likeliest := fmt.Sprintf("%s is the likeliest partner (%s)", p.ref(partner), model.PercentText(chance))
	if chance < 0.01 {
		likeliest = fmt.Sprintf("nothing points at a partner yet, %s is tried first", p.ref(partner))
	}
	made.Reason = fmt.Sprintf("%s %s; %s. %s without a wire.", p.ref(lacks), what, likeliest, counted(float64(p.loose()), "terminal"))
	joined, silent := "Under half an ohm", "More, or OL"
	made.Answers = []Answer{{joined, "they are connected, and the map gets it"}, {silent, "not connected; the next likely pair follows"}}
	return made
}
