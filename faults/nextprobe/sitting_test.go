package nextprobe

import (
	"slices"
	"strings"
	"testing"
	"time"

	"bellout/faults"
	"bellout/graphs"
	"bellout/model"
)

// sitting is one run of the planner against a truth.
type sitting struct {
	planner    *Planner
	continuity int // readings that verify asked for within nets
	isolation  int
	located    int
	confirmed  int
	huffman    float64 // readings that no way of asking yes or no beats, of each search as it began
	apart      float64 // the same over what touches can tell apart
	outcome    int     // readings that the Huffman code of each search takes to what it came to
	begun      []search
	best       float64 // mean of the best order of the touches there are, none slipping
	seconds    int     // ohms asked for after a beep that told nothing, before a search
	repeats    int     // of located: a touch that was made before
	searching  bool
	mapped     int
	slowest    time.Duration
	spent      time.Duration
	probes     []Probe
}

// sit answers the planner until it is done.
func sit(t testing.TB, m *model.Machine, w *truth, options Options, most int) *sitting {
	t.Helper()
	s := &sitting{planner: New(faults.Diagnose(m.Clone()), options)}
	for {
		start := time.Now()
		next := s.planner.Next()
		took := time.Since(start)
		s.spent += took
		s.slowest = max(s.slowest, took)
		if next.Done {
			s.endSearch()
			return s
		}
		if len(s.probes) >= most {
			t.Fatalf("not done after %d probes, the last %v: %s (truth: %v)", most, *next.Probe, next.Why, w.flaws)
		}
		s.count(next)
		take(t, m, s.planner, next.Probe.Reading(w.shows(*next.Probe)))
		s.planner.Took(*next.Probe)
	}
}

// take stores a reading in the machine, with the wire that it found, and has the
// planner go on with what is known then.
func take(t testing.TB, m *model.Machine, p *Planner, r model.Reading) (faults.Meaning, *faults.Discovery) {
	t.Helper()
	before := p.known
	found := before.Discover(r)
	r.Number, r.Stored = 1, 1
	for _, other := range m.Readings {
		r.Number, r.Stored = max(r.Number, other.Number+1), max(r.Stored, other.Stored+1)
	}
	for _, touch := range m.Touches {
		r.Stored = max(r.Stored, touch.Stored+1)
	}
	changes := []model.Change{{After: r}}
	if found != nil {
		changes = append(changes, model.Change{After: found.Wire})
	}
	apply(t, m, changes...)
	p.Follow(faults.Diagnose(m.Clone()))
	return p.known.Meaning(r.Number, before, found), found
}

func (s *sitting) count(next Proposal) {
	// A second look settles whether there is anything to search for: the search,
	// and what it could take at least, begin after it.
	second := strings.Contains(next.Why, "electronics lie between")
	if next.Goal != Locate {
		s.endSearch()
	}
	if next.Goal == Locate && !second && !s.searching {
		for _, group := range s.planner.suspects() {
			if _, share := group.leading(); share < enough {
				s.huffman += HuffmanLength(group.shares)
				s.begun = append(s.begun, newSearch(&group))
				best := s.planner.bestTouches(&group)
				s.apart, s.best = s.apart+best.huffman, s.best+best.optimum
			}
		}
	}
	s.searching = next.Goal == Locate && (s.searching || !second)
	repeated := slices.ContainsFunc(s.probes, func(was Probe) bool {
		return pairOf(was) == pairOf(*next.Probe) && was.Conditions.String() == next.Probe.Conditions.String()
	})
	s.probes = append(s.probes, *next.Probe)
	bench := s.planner.known.Analysis()
	red, _ := bench.Machine.TerminalIndex(next.Probe.Red)
	black, _ := bench.Machine.TerminalIndex(next.Probe.Black)
	switch {
	case next.Goal == Locate && next.Confirms:
		s.confirmed++
	case next.Goal == Locate && second && !s.searching:
		s.seconds++
	case next.Goal == Locate:
		s.located++
		if repeated {
			s.repeats++
		}
	case next.Goal == Map:
		s.mapped++
	case bench.AsDrawn.Nets().Same(red, black):
		s.continuity++
	default:
		s.isolation++
	}
}

func (s *sitting) endSearch() {
	for _, begun := range s.begun {
		s.outcome += begun.ended(s.planner.suspects())
	}
	s.begun = nil
}

// claimed returns the faults that readings call for, and that are likelier than
// not: what has less is a question, not a claim.
func claimed(d *faults.Diagnosis) []faults.Finding {
	var list []faults.Finding
	for _, f := range d.Report().Findings {
		if len(f.Readings) > 0 && f.Severity == faults.Fault && f.Confidence >= 0.5 {
			list = append(list, f)
		}
	}
	return list
}

// names says whether a finding names a flaw: its rule, and the culprit first.
func (f flaw) namedBy(found faults.Finding, nets *graphs.Nets, m *model.Machine) bool {
	if !slices.Contains(f.rules, found.Rule) {
		return false
	}
	switch f.kind {
	case "short":
		want := map[string]bool{}
		for _, at := range f.at {
			ref, _ := model.ParseTerminalRef(at)
			t, _ := m.TerminalIndex(ref)
			want[nets.Name(t)] = true
		}
		for name := range want {
			if !slices.Contains(found.Nets, name) {
				return false
			}
		}
		return true
	case "joint":
		return len(found.Terminals) > 0 && found.Terminals[0] == f.at[0]
	case "swapped":
		return len(found.Wires) > 1 && slices.Contains(f.wires, found.Wires[0]) && slices.Contains(f.wires, found.Wires[1])
	default:
		return len(found.Wires) > 0 && found.Wires[0] == f.wires[0]
	}
}

// named counts the flaws that the findings name, and the findings that name
// none.
func (s *sitting) named(w *truth) (named, wrong int) {
	nets := s.planner.known.Analysis().AsDrawn.Nets()
	found := claimed(s.planner.known)
	for _, one := range found {
		if !slices.ContainsFunc(w.flaws, func(f flaw) bool { return f.namedBy(one, nets, s.planner.known.Analysis().Machine) }) {
			wrong++
		}
	}
	for _, f := range w.flaws {
		if slices.ContainsFunc(found, func(one faults.Finding) bool { return f.namedBy(one, nets, s.planner.known.Analysis().Machine) }) {
			named++
		}
	}
	return named, wrong
}

// lowerBound is the least number of readings that can prove the wires of a
// machine: half of the leaves of each net that is a tree, what is proven and
// what nothing needs to prove drawn to nothing.
func lowerBound(t testing.TB, m *model.Machine) int {
	t.Helper()
	p := New(faults.Diagnose(m.Clone()), Options{})
	sum := 0
	for _, net := range p.circuit.Nets().List {
		tree := p.treeOf(p.circuit, p.judge.Metal(), net.Terminals, nil, func(int) bool { return true })
		sum += (len(leavesInOrder(tree.branches)) + 1) / 2
	}
	return sum
}

var flawKinds = []string{"open", "joint", "high", "short", "swapped"}
