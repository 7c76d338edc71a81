package nextprobe

import (
	"math"
	"slices"

	"bellout/model"
)

// colours is what the wires that are on the map already say of those that are not:
// one net keeps to few colours, and the cores of a cable lead where its other cores
// lead. How much that is worth is learnt from this machine, since colours mean what
// its builder meant by them; only green and yellow together are the earth's by the
// standard (IEC 60445).
type colours struct {
	of     map[*cluster][]model.Colour // of the wires that end in it, each once, the first few
	wires  map[model.Colour]float64    // how many wires have it
	square float64                     // the sum of the squares of those
	count  float64                     // wires that have a colour

	together frequency // of two things of one net: that shared a colour, all
	separate frequency // of two that were found apart

	cables map[string][]int // by cable: devices at which it ends, each once
	leads  map[int][]int    // by device: those that a cable leads to from it, each once
	linked frequency        // touches along a cable: that joined, all
}

const (
	mostColours   = 4   // of one net
	mostLed       = 12  // devices at one cable: more is a loom, which leads everywhere
	guessedWeight = 6.0 // touches or wires that a guess counts for
	coloursAlike  = 0.8 // how likely two pieces of one net share a colour
	cableWeight   = 3.0 // how much likelier a join along a cable is, before any was tried
	mostSaid      = 6.0 // bounds of what colours say: people run out of red
)

func newColours() colours {
	return colours{
		of: map[*cluster][]model.Colour{}, wires: map[model.Colour]float64{}, cables: map[string][]int{}, leads: map[int][]int{},
	}
}

// meet takes in that a wire without a colour joins two classes.
func (k *colours) meet(a, b *cluster) {
	if a == b || len(k.of[a]) == 0 || len(k.of[b]) == 0 {
		return
	}
	k.together.all++
	if meet(k.of[a], k.of[b]) {
		k.together.hits++
	}
}

// part takes in that two classes were found apart.
func (k *colours) part(a, b *cluster) {
	if len(k.of[a]) == 0 || len(k.of[b]) == 0 {
		return
	}
	k.separate.all++
	if meet(k.of[a], k.of[b]) {
		k.separate.hits++
	}
}

// swallow gives a class the colours of another that it takes in.
func (k *colours) swallow(big, small *cluster) {
	if len(k.of[small]) > 0 {
		list := unite(k.of[big], k.of[small])
		k.of[big] = list[:min(len(list), mostColours)]
	}
	delete(k.of, small)
}

// learn takes in a wire of the map that is about to join two classes.
func (s *survey) learn(wire *model.Wire, a, b int, found bool) {
	k := &s.colours
	if found && s.cabled(s.class[a], s.class[b]) {
		k.linked.hits++
		k.linked.all++
	}
	if wire.Cable != "" {
		k.lay(wire.Cable, s.deviceOf[a], s.deviceOf[b])
	}
	if wire.Colour == "" {
		k.meet(s.class[a], s.class[b])
		return
	}
	n := k.wires[wire.Colour]
	k.wires[wire.Colour] = n + 1
	k.square += 2*n + 1
	k.count++
	for _, t := range [2]int{a, b} {
		c := s.class[t]
		if known := k.of[c]; len(known) > 0 {
			k.together.all++
			if slices.Contains(known, wire.Colour) {
				k.together.hits++
			}
		}
		if list := unite(k.of[c], []model.Colour{wire.Colour}); len(list) <= mostColours {
			k.of[c] = list
		}
		if wire.Colour == "GNYE" {
			c.hint |= aimEarth
		}
	}
}

// lay takes in that a core of a cable runs between two devices.
func (k *colours) lay(cable string, a, b int) {
	list := unite(k.cables[cable], []int{a, b})
	k.cables[cable] = list
	if len(list) > mostLed {
		return
	}
	if a != b {
		k.leads[a] = unite(k.leads[a], []int{b})
		k.leads[b] = unite(k.leads[b], []int{a})
	}
}

// factor is how much likelier or less likely two classes hang together for the
// colours of their wires.
func (k *colours) factor(c, other *cluster) float64 {
	if k.count == 0 {
		return 1
	}
	mine, its := k.of[c], k.of[other]
	if len(mine) == 0 || len(its) == 0 {
		return 1
	}
	alike := (k.together.hits + guessedWeight*coloursAlike) / (k.together.all + guessedWeight)
	chance := (k.separate.hits + guessedWeight*k.square/(k.count*k.count)) / (k.separate.all + guessedWeight)
	if meet(mine, its) {
		return bounded(alike / chance)
	}
	return bounded((1 - alike) / (1 - math.Min(chance, 0.99)))
}

func bounded(factor float64) float64 {
	return math.Max(1/mostSaid, math.Min(factor, mostSaid))
}

// alongCable is how much likelier two classes of few terminals hang together
// because a cable leads from a free place of the one to a free place of the other.
func (s *survey) alongCable(c, other *cluster) float64 {
	if !s.cabled(c, other) {
		return 1
	}
	count := s.colours.linked
	return 1 + (cableWeight-1)*(count.hits+2)/(count.all+4)*2
}

// cabled says whether a cable leads from a free place of one class to a free place
// of another.
func (s *survey) cabled(c, other *cluster) bool {
	if c.loose == 0 || other.loose == 0 || len(c.terminals) > fewTerminals || len(other.terminals) > fewTerminals {
		return false
	}
	for _, t := range c.terminals {
		leads := s.colours.leads[s.deviceOf[t]]
		if len(leads) == 0 || s.wired[t] > 0 {
			continue
		}
		for _, u := range other.terminals {
			if s.wired[u] == 0 && slices.Contains(leads, s.deviceOf[u]) {
				return true
			}
		}
	}
	return false
}

// cableEnds calls consider with what stands free at the devices that cables lead to
// from a class of few terminals.
func (s *survey) cableEnds(c *cluster, consider func(*cluster)) {
	if c.loose == 0 || len(c.terminals) > fewTerminals {
		return
	}
	for _, t := range c.terminals {
		if s.wired[t] > 0 {
			continue
		}
		for _, device := range s.colours.leads[s.deviceOf[t]] {
			for _, u := range s.atDevice[device] {
				if s.wired[u] == 0 {
					consider(s.class[u])
				}
			}
		}
	}
}
