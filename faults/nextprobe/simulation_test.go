package nextprobe

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bellout/graphs"
	"bellout/model"
)

// A simulated bench: a machine's truth, which is its map with faults planted,
// and a hand meter on it that answers the planner. The truth is asked through
// package graphs only, never through the code that judges readings.

// flaw is one planted fault.
type flaw struct {
	kind  string   // open, joint, high, short, swapped
	wires []string // that the finding has to name
	at    []string // terminals
	rules []string // one of which the finding has to be of
}

func (f flaw) String() string { return fmt.Sprint(f.kind, " ", f.wires, f.at) }

// truth is a machine with flaws, and the meter that somebody holds to it.
type truth struct {
	*model.Machine
	flaws    []flaw
	random   *rand.Rand
	circuits map[string]*graphs.Circuit
	beepOhms float64
	lead     float64
	readings int
	steady   bool                         // no tip slips
	misses   map[[2]model.TerminalRef]int // touches that slip yet, by pair
}

// pairOf is the pair of a probe, whichever tip is where.
func pairOf(probe Probe) [2]model.TerminalRef {
	if model.CompareRefs(probe.Red, probe.Black) > 0 {
		return [2]model.TerminalRef{probe.Black, probe.Red}
	}
	return [2]model.TerminalRef{probe.Red, probe.Black}
}

func newTruth(t testing.TB, m *model.Machine, seed uint64) *truth {
	t.Helper()
	out := &truth{Machine: m.Clone(), random: rand.New(rand.NewPCG(seed, 5)), circuits: map[string]*graphs.Circuit{}}
	settings := m.Settings()
	out.beepOhms, out.lead = settings.BeepBelowOhms*math.Exp(0.05*out.random.NormFloat64()), settings.LeadOhms
	// parts differ from what the map says
	var changes []model.Change
	for _, link := range out.Links {
		if link.Kind == model.LinkResistance && link.Value.Known {
			other := link
			other.Value = model.Known(link.Value.Value * math.Exp(0.08*out.random.NormFloat64()))
			changes = append(changes, model.Change{Before: link, After: other})
		}
	}
	apply(t, out.Machine, changes...)
	return out
}

// slips of a person with two tips: a tip that does not touch, a tip that touches
// more than it should.
const (
	missedTouch = 0.01
	falseBeep   = 0.001
)

// shows is what the meter shows for a probe.
func (w *truth) shows(probe Probe) model.Value {
	w.readings++
	key := probe.Conditions.String()
	c, known := w.circuits[key]
	if !known {
		if w.circuits[""] == nil {
			w.circuits[""] = graphs.NewCircuit(w.Machine, nil)
		}
		c = w.circuits[""]
		if key != "" {
			c = c.Under(probe.Conditions)
		}
		if len(w.circuits) < 200 {
			w.circuits[key] = c
		}
	}
	red, _ := w.TerminalIndex(probe.Red)
	black, _ := w.TerminalIndex(probe.Black)
	seen := c.Predict(red, black)
	ohms := seen.Ohms
	if seen.LeastOhms < seen.Ohms && ohms > 1e4 && w.random.Float64() < 0.3 {
		ohms = math.Min(ohms, math.Exp(math.Log(2e3)+w.random.Float64()*math.Log(5e2))) // an input of some kilohms
	}
	slip := w.random.Float64()
	if w.steady {
		slip = 0.5
	}
	if w.misses[pairOf(probe)] > 0 {
		w.misses[pairOf(probe)]--
		slip = 0
	}
	if slip < missedTouch {
		ohms = math.Inf(1)
	}
	if probe.Mode == model.ModeContinuity {
		if ohms+w.lead < w.beepOhms || slip > 1-falseBeep {
			return model.Value{Kind: model.ShowsBeep}
		}
		return model.Value{Kind: model.ShowsSilent}
	}
	if ohms > 4e7 {
		return model.Value{Kind: model.ShowsOL}
	}
	value := (ohms+w.lead)*(1+0.005*w.random.NormFloat64()) + 0.05*math.Abs(w.random.NormFloat64())
	step := math.Max(0.01, math.Pow(10, math.Floor(math.Log10(value))-3))
	return model.Value{Number: math.Round(math.Round(value/step)*step*1e6) / 1e6}
}

// plant puts a flaw of a kind into the truth.
func (w *truth) plant(t testing.TB, kind string) {
	t.Helper()
	nets := graphs.NewCircuit(w.Machine, nil).Nets()
	for range 1000 {
		wire := w.Wires[w.random.IntN(len(w.Wires))]
		at, _ := w.TerminalIndex(wire.From)
		if kindOf := nets.Kind(at); wire.Removed || kindOf.Mains() || kindOf == graphs.NetEarth || w.touchesFlaw(wire) {
			continue
		}
		if f, planted := w.plantAt(t, kind, wire, nets); planted {
			w.flaws = append(w.flaws, f)
			w.circuits = map[string]*graphs.Circuit{}
			return
		}
	}
	if kind != "open" {
		w.plant(t, "open")
		return
	}
	t.Fatalf("no place for %s", kind)
}

func (w *truth) touchesFlaw(wire model.Wire) bool {
	for _, f := range w.flaws {
		if slices.Contains(f.wires, wire.Name) || slices.Contains(f.at, wire.From.String()) || slices.Contains(f.at, wire.To.String()) {
			return true
		}
	}
	return false
}

func (w *truth) plantAt(t testing.TB, kind string, wire model.Wire, nets *graphs.Nets) (flaw, bool) {
	other := wire
	switch kind {
	case "open":
		other.Removed = true
		apply(t, w.Machine, model.Change{Before: wire, After: other})
		return flaw{kind: kind, wires: []string{wire.Name}, rules: []string{"open"}}, true
	case "high":
		if net := nets.Net(mustIndex(w.Machine, wire.From)); !inOhms(net) {
			return flaw{}, false // a signal carries no current to speak of: it is proven by ear
		}
		mid := w.between(t, 2+28*w.random.Float64())
		other.To = mid[0]
		apply(t, w.Machine, model.Change{Before: wire, After: other},
			model.Change{After: model.Wire{Name: "Z" + wire.Name, From: mid[1], To: wire.To, Basis: model.BasisPlanned}})
		return flaw{kind: kind, wires: []string{wire.Name}, rules: []string{"high-resistance"}}, true
	case "joint":
		mine := w.wiresAt(wire.From)
		if len(mine) < 2 || !w.leadsOn(wire.From) {
			return flaw{}, false
		}
		off := w.between(t, 0)[0]
		for _, one := range mine {
			moved := one
			if one.From == wire.From {
				moved.From = off
			} else {
				moved.To = off
			}
			apply(t, w.Machine, model.Change{Before: one, After: moved})
		}
		f := flaw{kind: kind, at: []string{wire.From.String()}, rules: []string{"open"}}
		return f, true
	case "short":
		device := w.Marks(wire.From.Device)
		mark := device[w.random.IntN(len(device))]
		far := model.TerminalRef{Device: wire.From.Device, Mark: mark}
		a, _ := w.TerminalIndex(wire.From)
		b, _ := w.TerminalIndex(far)
		if !separable(nets, a, b) {
			return flaw{}, false
		}
		apply(t, w.Machine, model.Change{After: model.Wire{Name: "Z" + wire.Name, From: wire.From, To: far, Basis: model.BasisPlanned}})
		return flaw{kind: kind, at: []string{wire.From.String(), far.String()}, rules: []string{"short", "rail-cross", "mixed-ground"}}, true
	case "swapped":
		for _, second := range w.Wires {
			a, _ := w.TerminalIndex(wire.To)
			b, _ := w.TerminalIndex(second.To)
			if second.Removed || second.To.Device != wire.To.Device || nets.Of[a] == nets.Of[b] || w.touchesFlaw(second) || nets.Kind(b).Mains() {
				continue
			}
			changed := second
			other.To, changed.To = second.To, wire.To
			apply(t, w.Machine, model.Change{Before: wire, After: other}, model.Change{Before: second, After: changed})
			return flaw{kind: kind, wires: []string{wire.Name, second.Name}, rules: []string{"swapped"}}, true
		}
	}
	return flaw{}, false
}

func mustIndex(m *model.Machine, ref model.TerminalRef) int {
	t, found := m.TerminalIndex(ref)
	if !found {
		panic(ref.String())
	}
	return t
}

// separable says whether two nets are a pair that verify proves apart.
func separable(nets *graphs.Nets, a, b int) bool {
	ka, kb := nets.Kind(a), nets.Kind(b)
	return nets.Of[a] != nets.Of[b] && (ka == graphs.NetRail && kb.Separate() || kb == graphs.NetRail && ka.Separate())
}

// between adds a device of two terminals, joined by ohms.
func (w *truth) between(t testing.TB, ohms float64) [2]model.TerminalRef {
	t.Helper()
	ref := fmt.Sprintf("ZZ%d", len(w.Devices))
	a, b := model.TerminalRef{Device: ref, Mark: "1"}, model.TerminalRef{Device: ref, Mark: "2"}
	apply(t, w.Machine, model.Change{After: model.Device{Ref: ref, Health: model.HealthUnknown}},
		model.Change{After: model.Terminal{Device: ref, Mark: "1"}}, model.Change{After: model.Terminal{Device: ref, Mark: "2"}},
		model.Change{After: model.Link{Device: ref, From: "1", To: "2", Kind: model.LinkResistance, Value: model.Known(math.Max(ohms, 1e9*float64(b2i(ohms == 0))))}})
	return [2]model.TerminalRef{a, b}
}

func b2i(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// leadsOn says whether metal of the device leads on from a terminal: else nothing
// but a tip on the terminal itself shows that its wires let go.
func (w *truth) leadsOn(ref model.TerminalRef) bool {
	return slices.ContainsFunc(w.Links, func(l model.Link) bool { return l.Joins() && (l.FromRef() == ref || l.ToRef() == ref) })
}

func (w *truth) wiresAt(ref model.TerminalRef) []model.Wire {
	var list []model.Wire
	for _, wire := range w.Wires {
		if !wire.Removed && (wire.From == ref || wire.To == ref) {
			list = append(list, wire)
		}
	}
	return list
}
