package judge

import (
	"math"
	"slices"

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
type Staleness struct {
	judge   *Judge
	touches []touch // by journal row
	blocks  map[int]*blocks
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
	s := &Staleness{judge: j, blocks: map[int]*blocks{}}
	for _, t := range j.Machine.Touches {
		a, foundA := j.Machine.TerminalIndex(t.A)
		b, foundB := j.Machine.TerminalIndex(t.B)
		if foundA && foundB && a != b {
			s.touches = append(s.touches, touch{t.Stored, a, b})
		}
	}
	slices.SortFunc(s.touches, func(a, b touch) int { return int(a.stored - b.stored) })
	return s
}

// Stale says whether a reading is stale. Cost: nothing where no edit came after
// it; else one pass over the nets of the later edits, shared by all readings
// between the same two edits.
func (s *Staleness) Stale(r model.Reading) bool {
	from, _ := slices.BinarySearchFunc(s.touches, r.Stored+1, func(t touch, stored int64) int { return int(t.stored - stored) })
	if from == len(s.touches) {
		return false
	}
	red, foundRed := s.judge.Machine.TerminalIndex(r.Red)
	black, foundBlack := s.judge.Machine.TerminalIndex(r.Black)
	if !foundRed || !foundBlack {
		return false
	}
	joined, touched := s.blocksFrom(from).between(red, black)
	if joined {
		return touched
	}
	return s.throughLoads(r, red, black, s.touches[from:])
}

// throughLoads compares what the meter shows with and without what was touched.
func (s *Staleness) throughLoads(r model.Reading, red, black int, touches []touch) bool {
	now := s.judge.firmSight(red, black, r.Conditions)
	if len(touches) > mostTouches {
		touches = touches[len(touches)-mostTouches:]
	}
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
