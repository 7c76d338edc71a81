package sample

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"bellout/model"
)

func TestMachineIsTheSameForTheSameSeed(t *testing.T) {
	if !Machine(7, 2000).Equal(Machine(7, 2000)) {
		t.Error("two machines of one seed differ")
	}
	if Machine(7, 2000).Equal(Machine(8, 2000)) {
		t.Error("two machines of different seeds are equal")
	}
}

func TestMachineHasTheSizeAskedFor(t *testing.T) {
	for _, terminals := range []int{600, 3000, 20000, 100000} {
		m := Machine(1, terminals)
		if len(m.Terminals) != terminals {
			t.Errorf("%d terminals, asked for %d", len(m.Terminals), terminals)
		}
		if len(m.Readings) != terminals/10 {
			t.Errorf("%d readings, want %d", len(m.Readings), terminals/10)
		}
		conditions := map[string]int{}
		for _, r := range m.Readings {
			conditions[r.Conditions.String()]++
		}
		if len(conditions) < 5 || len(conditions) > conditionsWanted {
			t.Errorf("%d terminals: %d different conditions", terminals, len(conditions))
		}
		t.Logf("%d terminals, %d devices, %d links, %d wires, %d readings in %d conditions",
			len(m.Terminals), len(m.Devices), len(m.Links), len(m.Wires), len(m.Readings), len(conditions))
	}
}

// A walk over metal, written apart from the chains that the readings were
// summed up along, must find each beep and miss each silence.
func TestReadingsAgreeWithTheMetal(t *testing.T) {
	m := Machine(3, 3000)
	for _, r := range m.Readings {
		ohms, joined := walk(m, r)
		switch r.Value.Kind {
		case model.ShowsBeep:
			if !joined || ohms > 30 {
				t.Errorf("%v to %v beeps; metal %v, %g ohm", r.Red, r.Black, joined, ohms)
			}
		case model.ShowsSilent, model.ShowsOL:
			if joined {
				t.Errorf("%v to %v under %q is silent, but joined", r.Red, r.Black, r.Conditions)
			}
		default:
			if !joined || math.Abs(ohms+leadOhms-r.Value.Number) > 0.01+0.01*r.Value.Number {
				t.Errorf("%v to %v under %q shows %v; the way has %g ohm, joined %v", r.Red, r.Black, r.Conditions, r.Value, ohms, joined)
			}
		}
	}
}

// walk finds the way with the fewest steps between the tips of a reading over
// metal and resistances, and its ohms.
func walk(m *model.Machine, r model.Reading) (ohms float64, joined bool) {
	type edge struct {
		to   model.TerminalRef
		ohms float64
	}
	edges := map[model.TerminalRef][]edge{}
	lay := func(a, b model.TerminalRef, ohms float64) {
		edges[a] = append(edges[a], edge{b, ohms})
		edges[b] = append(edges[b], edge{a, ohms})
	}
	absent := map[string]bool{}
	for _, c := range r.Conditions {
		absent[c.Device+c.Wire] = true
	}
	for _, w := range m.Wires {
		if !absent[w.Name] {
			lay(w.From, w.To, conductor{gauge: w.Gauge}.ohmsPerMetre()*w.LengthMetres.Value)
		}
	}
	for _, l := range m.Links {
		if absent[l.Device] {
			continue
		}
		switch l.Kind {
		case model.LinkSolid, model.LinkFuse:
			lay(l.FromRef(), l.ToRef(), 0)
		case model.LinkResistance:
			lay(l.FromRef(), l.ToRef(), l.Value.Value)
		}
	}
	reached := map[model.TerminalRef]float64{r.Red: 0}
	for queue := []model.TerminalRef{r.Red}; len(queue) > 0; queue = queue[1:] {
		for _, e := range edges[queue[0]] {
			if _, seen := reached[e.to]; !seen {
				reached[e.to] = reached[queue[0]] + e.ohms
				queue = append(queue, e.to)
			}
		}
	}
	ohms, joined = reached[r.Black]
	return ohms, joined
}

func TestDrawnMachinesHaveSomethingToShow(t *testing.T) {
	wires, readings := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		m := Draw(t)
		wires += len(m.Wires)
		readings += len(m.Readings)
	})
	if wires == 0 || readings == 0 {
		t.Errorf("%d wires and %d readings in all draws", wires, readings)
	}
}

func BenchmarkMachine(b *testing.B) {
	for b.Loop() {
		Machine(1, 100000)
	}
}
