package probing

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"bellout/faults"
	"bellout/model"
)

// TestSurveyKeptEqualsSurveyMadeAnew: whatever is read and found while mapping,
// what is kept from answer to answer says of every terminal what a survey made
// from nothing says; and its classes are the nets of the map.
func TestSurveyKeptEqualsSurveyMadeAnew(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		whole := smallMachine(t, rapid.Uint64Range(0, 20).Draw(r, "machine"), 60)
		m := withoutWires(t, whole)
		w := quiet(newTruth(t, whole, 1))
		session := faults.NewSession(m)
		p := New(session, Options{Goal: Map})
		steps := rapid.Int64Range(1, 25).Draw(r, "answers")
		for number := int64(1); number <= steps; number++ {
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
			reading := probe.Reading(w.shows(probe))
			logged := session.Log(reading)
			reading.Number, reading.Stored = number, number
			changes := []model.Change{{After: reading}}
			if logged.Discovery != nil {
				changes = append(changes, model.Change{After: *logged.Discovery})
			}
			apply(t, m, changes...)
			session.Stored(reading)
			p.Took(probe)
		}
		p.look()
		kept := p.survey()
		fresh := New(session, Options{Goal: Map})
		fresh.look()
		anew := fresh.survey()
		nets := p.circuit.Nets()
		for at := range m.Terminals {
			if got, want := sketchOf(kept, at), sketchOf(anew, at); got != want {
				r.Errorf("%v: kept %s, made anew %s", m.Terminals[at].Ref(), got, want)
			}
			if net := nets.Net(at); !slices.Equal(kept.class[at].terminals, slices.Sorted(slices.Values(net.Terminals))) {
				r.Errorf("%v: its class is %v, its net %v", m.Terminals[at].Ref(), kept.class[at].terminals, net.Terminals)
			}
		}
		for _, c := range kept.live {
			free := 0
			for _, at := range c.terminals {
				free += b2int(kept.wired[at] == 0)
			}
			if c.loose != free {
				r.Errorf("%d terminals of %v have no wire, the class counts %d", free, c.terminals, c.loose)
			}
		}
		if len(kept.live) != len(nets.List) || len(anew.live) != len(nets.List) {
			r.Errorf("%d classes are kept, %d made anew, of %d nets", len(kept.live), len(anew.live), len(nets.List))
		}
		for at, c := range kept.live {
			if c.at != at || kept.class[c.terminals[0]] != c {
				r.Errorf("class %d of the list is not where it says", at)
			}
			for other, times := range c.apart {
				if kept.class[other.terminals[0]] != other || other.apart[c] != times {
					r.Errorf("class %d was found apart from one that is gone, or that knows nothing of it", at)
				}
			}
		}
	})
}

// sketchOf is what a survey says of the class of a terminal, without what hangs on
// the order of things.
func sketchOf(s *survey, t int) string {
	c := s.class[t]
	volts, zones := slices.Sorted(slices.Values(c.volts)), slices.Sorted(slices.Values(c.zones))
	return fmt.Sprint(c.terminals, c.wires, c.loose, c.has, c.hint, volts, zones, s.wired[t], s.needs(c))
}
