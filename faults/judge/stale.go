package judge

import (
	"cmp"
	"math"
	"slices"
	"time"

	"bellout/graphs"
	"bellout/model"
)

// Staleness says which readings are no longer evidence because their path was
// edited after they were taken.
//
// A reading is stale when an edit of conduction that was stored after it lies
// on a simple path between its tips in the union of today's metal and what the
// later edits touched; where only loads join the tips, when the edit changes
// what the meter would show by a noticeable share.
//
// A part that was put in testifies from then on only: readings from before whose
// path ran through the part that stood there are stale as if its links had been
// edited, and so are volts at it, or at what it feeds.
type Staleness struct {
	judge   *Judge
	touches []touch // by journal row
	blocks  map[int]*blocks
	parts   []newPart // by date
	insides map[int]*blocks
}

// newPart is a device whose part was replaced.
type newPart struct {
	since  time.Time
	device string
	links  []touch // its insides
	metal  []touch // those of them that are metal: only these can bear on a way of metal
	rails  []int   // terminals
}

type touch struct {
	stored int64
	a, b   int
}

// noticeable is the least change of ln(ohms) that makes a reading through loads
// stale; under it a meter would hardly show the edit.
const noticeable = 0.05

// mostTouches is how many of the latest edits are looked at one by one where
// only loads join the tips.
const mostTouches = 12

// NewStaleness prepares for the edits that a machine remembers.
func (j *Judge) NewStaleness() *Staleness {
	s := &Staleness{judge: j, blocks: map[int]*blocks{}, insides: map[int]*blocks{}}
	for _, t := range j.Machine.Touches {
		a, foundA := j.Machine.TerminalIndex(t.A)
		b, foundB := j.Machine.TerminalIndex(t.B)
		if foundA && foundB && a != b {
			s.touches = append(s.touches, touch{t.Stored, a, b})
		}
	}
	slices.SortFunc(s.touches, func(a, b touch) int { return int(a.stored - b.stored) })
	s.findNewParts()
	return s
}

func (s *Staleness) findNewParts() {
	m, at := s.judge.Machine, map[string]int{}
	for _, e := range m.Events {
		if since, replaced := m.InSince(e.Device); replaced && e.Word == model.EventReplaced && e.At.Equal(since) {
			if _, known := at[e.Device]; !known {
				at[e.Device] = len(s.parts)
				s.parts = append(s.parts, newPart{since: since, device: e.Device})
			}
		}
	}
	if len(s.parts) == 0 {
		return
	}
	for _, link := range m.Links {
		if place, replaced := at[link.Device]; replaced {
			a, _ := m.TerminalIndex(link.FromRef())
			b, _ := m.TerminalIndex(link.ToRef())
			s.parts[place].links = append(s.parts[place].links, touch{a: a, b: b})
			if link.Kind.Metal() {
				s.parts[place].metal = append(s.parts[place].metal, touch{a: a, b: b})
			}
		}
	}
	for t, terminal := range m.Terminals {
		if place, replaced := at[terminal.Device]; replaced && terminal.Role == model.RoleRail {
			s.parts[place].rails = append(s.parts[place].rails, t)
		}
	}
	slices.SortFunc(s.parts, func(a, b newPart) int { return cmp.Or(a.since.Compare(b.since), cmp.Compare(a.device, b.device)) })
}

// beforeNewPart says whether a reading is from before a part was put in that it
// speaks of. One of no known time may be.
func (s *Staleness) beforeNewPart(r model.Reading, red, black int) bool {
	from := slices.IndexFunc(s.parts, func(p newPart) bool { return r.At.Before(p.since) })
	if from < 0 {
		return false
	}
	later := s.parts[from:]
	if r.Mode.Volts() {
		nets := s.judge.Rest.Nets()
		return slices.ContainsFunc(later, func(p newPart) bool {
			return p.device == r.Red.Device || p.device == r.Black.Device ||
				slices.ContainsFunc(p.rails, func(t int) bool { return nets.Same(t, red) || nets.Same(t, black) })
		})
	}
	var links, metal []touch
	for _, p := range later {
		links, metal = append(links, p.links...), append(metal, p.metal...)
	}
	if s.insides[from] == nil {
		s.insides[from] = findBlocks(s.judge.Rest, metal)
	}
	if joined, touched := s.insides[from].between(red, black); joined {
		return touched
	}
	return !s.judge.Joins(red, black, s.judge.Changes(r.Conditions)) && s.throughLoads(r, red, black, links)
}

// Stale says whether a reading is stale. Cost: nothing where no edit came after
// it; else one pass over the nets of the later edits, shared by all readings
// between the same two edits.
func (s *Staleness) Stale(r model.Reading) bool {
	red, foundRed := s.judge.Machine.TerminalIndex(r.Red)
	black, foundBlack := s.judge.Machine.TerminalIndex(r.Black)
	if !foundRed || !foundBlack {
		return false
	}
	if s.beforeNewPart(r, red, black) {
		return true
	}
	from, _ := slices.BinarySearchFunc(s.touches, r.Stored+1, func(t touch, stored int64) int { return int(t.stored - stored) })
	if from == len(s.touches) {
		return false
	}
	joined, touched := s.blocksFrom(from).between(red, black)
	if joined {
		return touched
	}
	touches := s.touches[from:]
	return s.throughLoads(r, red, black, touches[max(0, len(touches)-mostTouches):])
}

// throughLoads compares what the meter shows with and without what was touched.
func (s *Staleness) throughLoads(r model.Reading, red, black int, touches []touch) bool {
	now := s.judge.firmSight(red, black, r.Conditions)
	for _, t := range touches {
		without := s.openBetween(t)
		with := []graphs.ElementChange{{Element: -1, A: t.a, B: t.b}}
		for _, changes := range [][]graphs.ElementChange{without, with} {
			if len(changes) == 0 {
				continue
			}
			other := s.judge.OhmsIf(red, black, r.Conditions, changes)
			if differs(now.Ohms, other) {
				return true
			}
		}
	}
	return false
}

func differs(a, b float64) bool {
	if math.IsInf(a, 1) || math.IsInf(b, 1) {
		return math.IsInf(a, 1) != math.IsInf(b, 1)
	}
	return math.Abs(math.Log((a+MetalBelowOhms)/(b+MetalBelowOhms))) > noticeable
}

// openBetween opens what joins the two ends of a touch today.
func (s *Staleness) openBetween(t touch) []graphs.ElementChange {
	var changes []graphs.ElementChange
	c := s.judge.Rest
	for _, id := range c.Incident(t.a) {
		if c.Elements[id].Present && c.Far(int(id), t.a) == t.b {
			changes = append(changes, graphs.ElementChange{Element: int(id), Ohms: math.Inf(1)})
		}
	}
	return changes
}

func (s *Staleness) blocksFrom(from int) *blocks {
	if known, made := s.blocks[from]; made {
		return known
	}
	made := findBlocks(s.judge.Rest, s.touches[from:])
	s.blocks[from] = made
	return made
}
