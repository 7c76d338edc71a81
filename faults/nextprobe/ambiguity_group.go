package nextprobe

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bellout/faults/explain"
)

// Bounds of what is told apart.
const (
	enough         = 0.95  // of the chances for one repair: nothing more is asked
	sure           = 0.999 // of the chances for one repair: it is begun without another look
	leastBits      = 0.02  // under which a probe is not worth making
	leastToConfirm = 0.004 // before a repair is begun: what is left of the doubt, at sure, is 0.01
	mostSets       = 48    // that are told apart one by one
	knownBroken    = 0.5   // of the chances from which on a place counts as broken
)

// ambiguityGroup are the sets of faults of one group of surprising readings, the
// likeliest first, and what each calls for.
type ambiguityGroup struct {
	explain.Suspicion
	chances []float64            // of the first mostSets, made to sum to 1
	repairs []int                // by set: which repair it calls for
	texts   []string             // by repair
	shares  []float64            // by repair
	members []explain.Hypothesis // of all sets, each once
	sets    [][]int              // by set: its places in members
}

// suspects returns what surprising readings call for, group by group.
func (p *Planner) suspects() []ambiguityGroup {
	if p.suspected != nil {
		return slices.Clone(p.suspected)
	}
	list := []ambiguityGroup{}
	for _, suspicion := range p.explain.Suspicions() {
		s := ambiguityGroup{Suspicion: suspicion}
		if len(s.Sets) > mostSets {
			s.Sets = s.Sets[:mostSets]
		}
		sum := 0.0
		for _, set := range s.Sets {
			sum += set.Chance
		}
		at := map[string]int{}
		for _, set := range s.Sets {
			key := p.repairOf(set)
			repair, known := at[key]
			if !known {
				repair = len(s.texts)
				at[key] = repair
				s.texts = append(s.texts, p.setText(set))
				s.shares = append(s.shares, 0)
			}
			s.repairs = append(s.repairs, repair)
			s.chances = append(s.chances, set.Chance/sum)
			s.shares[repair] += set.Chance / sum
		}
		s.listMembers()
		list = append(list, s)
	}
	p.suspected = list
	return slices.Clone(list)
}

func (s *ambiguityGroup) listMembers() {
	at := map[explain.Place]int{}
	for _, set := range s.Sets {
		var list []int
		for _, h := range set.Members {
			m, known := at[h.Place]
			if !known {
				m = len(s.members)
				at[h.Place] = m
				s.members = append(s.members, h)
			}
			list = append(list, m)
		}
		s.sets = append(s.sets, list)
	}
}

// leading returns the repair with most of the chances, and its share.
func (s *ambiguityGroup) leading() (repair int, share float64) {
	for r, chance := range s.shares {
		if chance > share*(1+1e-9) {
			repair, share = r, chance
		}
	}
	return repair, share
}

// repairOf names what a set calls for: sets that differ in sizes only, or in the
// pins of one device where two nets touch, call for the same.
func (p *Planner) repairOf(set explain.Set) string {
	of := p.circuit.Nets().Of
	keys := make([]string, 0, len(set.Members))
	for _, h := range set.Members {
		switch h.Fault {
		case explain.Short:
			a, b := h.A, h.B
			if of[b] < of[a] {
				a, b = b, a
			}
			keys = append(keys, fmt.Sprint("short ", of[a], p.machine.Terminals[a].Device, of[b], p.machine.Terminals[b].Device))
		case explain.LinkClosed:
			keys = append(keys, fmt.Sprint("closed ", h.Element))
		case explain.WireOpen, explain.WireHigh, explain.LinkOpen, explain.LinkHigh:
			keys = append(keys, fmt.Sprint("element ", h.Element))
		case explain.JointOpen, explain.JointHigh:
			keys = append(keys, fmt.Sprint("joint ", h.A))
		default:
			keys = append(keys, fmt.Sprint(h.Spot()))
		}
	}
	slices.Sort(keys)
	return strings.Join(keys, "; ")
}

func (p *Planner) setText(set explain.Set) string {
	if len(set.Members) == 0 {
		return "nothing but a slip of the tip"
	}
	texts := make([]string, len(set.Members))
	for i, h := range set.Members {
		texts[i] = p.known.PlaceText(h.Place)
	}
	return strings.Join(texts, " together with ")
}

// culprits are the elements that are taken as not conducting.
func (p *Planner) culprits() map[int]bool {
	out := map[int]bool{}
	for _, s := range p.suspects() {
		repair, share := s.leading()
		if share < knownBroken {
			continue
		}
		for at, set := range s.Sets {
			if s.repairs[at] != repair {
				continue
			}
			for _, h := range set.Members {
				p.opened(h, out)
			}
			break // its likeliest set
		}
	}
	return out
}

// opened adds to out the metal that conducts badly or not at all by a hypothesis.
func (p *Planner) opened(h explain.Hypothesis, out map[int]bool) {
	for _, change := range h.Changes(p.circuit) {
		if change.Element >= 0 && math.IsInf(change.Ohms, 1) && p.circuit.Elements[change.Element].Kind.Metal() {
			out[change.Element] = true
		}
	}
	if h.Fault == explain.WireHigh || h.Fault == explain.LinkHigh {
		out[h.Element] = true
	}
}
