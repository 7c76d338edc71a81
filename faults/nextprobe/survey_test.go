package nextprobe

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"bellout/faults"
)

// TestSurveyOfAnyReadings: whatever is read and found while mapping, the classes
// are the nets of the map, and what was found apart and what is free is counted.
func TestSurveyOfAnyReadings(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		whole := smallMachine(t, rapid.Uint64Range(0, 20).Draw(r, "machine"), 60)
		m := withoutWires(t, whole)
		w := quiet(newTruth(t, whole, 1))
		p := New(faults.Diagnose(m.Clone()), Options{Goal: Map})
		for range rapid.IntRange(1, 25).Draw(r, "answers") {
			next := p.Next()
			if next.Done {
				break
			}
			probe := *next.Probe
			if rapid.IntRange(0, 3).Draw(r, "own way") == 0 { // somebody touches what he likes
				probe.Red = m.Terminals[rapid.IntRange(0, len(m.Terminals)-1).Draw(r, "red")].Ref()
				if probe.Red == probe.Black {
					continue
				}
			}
			take(t, m, p, probe.Reading(w.shows(probe)))
			p.Took(probe)
		}
		s := p.survey()
		nets := p.circuit.Nets()
		for i := range m.Terminals {
			if net := nets.Net(i); !slices.Equal(s.class[i].terminals, slices.Sorted(slices.Values(net.Terminals))) {
				r.Errorf("%v: its class is %v, its net %v", m.Terminals[i].Ref(), s.class[i].terminals, net.Terminals)
			}
		}
		for _, c := range s.live {
			free := 0
			for _, t := range c.terminals {
				free += b2int(s.wired[t] == 0)
			}
			if c.loose != free {
				r.Errorf("%d terminals of %v have no wire, the class counts %d", free, c.terminals, c.loose)
			}
		}
		if len(s.live) != len(nets.List) {
			r.Errorf("%d classes of %d nets", len(s.live), len(nets.List))
		}
		for i, c := range s.live {
			if c.at != i || s.class[c.terminals[0]] != c {
				r.Errorf("class %d of the list is not where it says", i)
			}
			for other, times := range c.apart {
				if s.class[other.terminals[0]] != other || other.apart[c] != times {
					r.Errorf("class %d was found apart from one that is gone, or that knows nothing of it", i)
				}
			}
		}
	})
}
