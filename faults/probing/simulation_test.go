package probing

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"
	"time"

	"bellout/faults"
	"bellout/graphs"
	"bellout/model"
	"bellout/model/sample"
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
	steady   bool // no tip slips
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

// sitting is one run of the planner against a truth.
type sitting struct {
	session    *faults.Session
	planner    *Planner
	continuity int // readings that verify asked for within nets
	isolation  int
	located    int
	confirmed  int
	mapped     int
	slowest    time.Duration
	spent      time.Duration
	probes     []Probe
}

// sit answers the planner until it is done.
func sit(t testing.TB, m *model.Machine, w *truth, options Options, most int) *sitting {
	t.Helper()
	s := &sitting{session: faults.NewSession(m)}
	s.planner = New(s.session, options)
	number := int64(0)
	for {
		start := time.Now()
		next := s.planner.Next()
		took := time.Since(start)
		s.spent += took
		s.slowest = max(s.slowest, took)
		if next.Done {
			return s
		}
		if len(s.probes) >= most {
			t.Fatalf("not done after %d probes, the last %v: %s (truth: %v)", most, *next.Probe, next.Why, w.flaws)
		}
		s.count(next)
		reading := next.Probe.Reading(w.shows(*next.Probe))
		number++
		logged := s.session.Log(reading)
		reading.Number, reading.Stored = number, number
		changes := []model.Change{{After: reading}}
		if logged.Discovery != nil {
			changes = append(changes, model.Change{After: *logged.Discovery})
		}
		apply(t, m, changes...)
		s.session.Stored(reading)
		s.planner.Took(*next.Probe)
	}
}

func (s *sitting) count(next Proposal) {
	s.probes = append(s.probes, *next.Probe)
	bench := s.session.Bench()
	red, _ := bench.Machine.TerminalIndex(next.Probe.Red)
	black, _ := bench.Machine.TerminalIndex(next.Probe.Black)
	switch {
	case next.Goal == Locate && next.Confirms:
		s.confirmed++
	case next.Goal == Locate:
		s.located++
	case next.Goal == Map:
		s.mapped++
	case bench.Drawn.Nets().Same(red, black):
		s.continuity++
	default:
		s.isolation++
	}
}

// claimed returns the faults that readings call for, and that are likelier than
// not: what has less is a question, not a claim.
func claimed(session *faults.Session) []faults.Finding {
	var list []faults.Finding
	for _, f := range session.Report().Findings {
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
	nets := s.session.Bench().Drawn.Nets()
	found := claimed(s.session)
	for _, one := range found {
		if !slices.ContainsFunc(w.flaws, func(f flaw) bool { return f.namedBy(one, nets, s.session.Bench().Machine) }) {
			wrong++
		}
	}
	for _, f := range w.flaws {
		if slices.ContainsFunc(found, func(one faults.Finding) bool { return f.namedBy(one, nets, s.session.Bench().Machine) }) {
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
	p := New(faults.NewSession(m), Options{})
	p.look()
	sum := 0
	for _, net := range p.circuit.Nets().List {
		tree := p.treeOf(p.circuit, p.judge.Metal(), net.Terminals, nil, func(int) bool { return true })
		sum += (len(leavesInOrder(tree.branches)) + 1) / 2
	}
	return sum
}

var flawKinds = []string{"open", "joint", "high", "short", "swapped"}

// trial is one machine with some flaws, probed to the end.
type trial struct {
	*sitting
	w            *truth
	bound        int
	named, wrong int
}

func try(t testing.TB, m *model.Machine, seed uint64, flaws int, options Options) trial {
	t.Helper()
	w := newTruth(t, m, seed)
	for i := range flaws {
		w.plant(t, flawKinds[(int(seed)+i+int(seed)/len(flawKinds))%len(flawKinds)])
	}
	out := trial{w: w, bound: lowerBound(t, m)}
	out.sitting = sit(t, m, w, options, 20*len(m.Terminals))
	out.named, out.wrong = out.sitting.named(w)
	return out
}

// TestVerifyAndLocateOnTheBench probes machines with none, one and two flaws. A
// few seeds here; BenchmarkBench makes the table.
func TestVerifyAndLocateOnTheBench(t *testing.T) {
	for _, size := range []int{0, 100} {
		var named, wrong, flaws, continuity, bound int
		for seed := range uint64(3) {
			for count := range 2 {
				m := demoMachine(t)
				if size > 0 {
					m = machineOf(t, seed, size)
				}
				r := try(t, m, seed, count, Options{})
				named, wrong, flaws = named+r.named, wrong+r.wrong, flaws+count
				if count == 0 {
					continuity, bound = continuity+r.continuity, bound+r.bound
				}
				for _, probe := range r.probes {
					if bad := liveOnMains(r.session, probe); bad != "" {
						t.Errorf("%v: %s", probe, bad)
					}
				}
			}
		}
		if named != flaws || wrong > 0 {
			t.Errorf("size %d: %d of %d flaws named, %d findings that name none", size, named, flaws, wrong)
		}
		if float64(continuity) > 1.02*float64(bound) {
			t.Errorf("size %d: %d readings prove what %d could", size, continuity, bound)
		}
	}
}

// liveOnMains says what is wrong with a probe that would put a tip on live mains.
func liveOnMains(session *faults.Session, probe Probe) string {
	if probe.Mode == model.ModeOhms || probe.Mode == model.ModeContinuity {
		return ""
	}
	b := session.Bench()
	for _, ref := range [2]model.TerminalRef{probe.Red, probe.Black} {
		if t, _ := b.Machine.TerminalIndex(ref); b.Drawn.Nets().Kind(t).Mains() {
			return ref.String() + " is on the mains, and the mode is " + string(probe.Mode)
		}
	}
	return ""
}

// BenchmarkBench prints the table of the simulated bench: SEEDS trials (4 unless
// the environment says more) of each size and number of flaws, with the plain
// ways beside them: every pair of terminals, one tip of each net in turn, one
// wire after another.
func BenchmarkBench(b *testing.B) {
	seeds := 4
	if text := os.Getenv("SEEDS"); text != "" {
		seeds, _ = strconv.Atoi(text)
	}
	for _, size := range []int{0, 100, 500, 2000} {
		for count := range 3 {
			b.Run(fmt.Sprintf("terminals=%d/flaws=%d", size, count), func(b *testing.B) {
				for b.Loop() {
					b.StopTimer()
					var sum trial
					var pairs, scan, walk, claims float64
					for seed := range uint64(seeds) {
						m := demoMachine(b)
						if size > 0 {
							m = machineOf(b, seed, size)
						}
						n := float64(len(m.Terminals))
						pairs += n * (n - 1) / 2
						walk += float64(len(m.Wires))
						scan += float64(representativeScan(withoutWires(b, m), graphs.NewCircuit(m, nil).Nets()))
						b.StartTimer()
						r := try(b, m, seed, count, Options{})
						b.StopTimer()
						sum = sum.plus(r)
						claims += float64(b2i(r.wrong > 0))
					}
					of := float64(seeds)
					if count > 0 {
						b.ReportMetric(100*float64(sum.named)/(of*float64(count)), "%named")
						b.ReportMetric(float64(sum.located)/of, "locate")
						b.ReportMetric(float64(sum.confirmed)/of, "confirm")
					}
					b.ReportMetric(100*claims/of, "%with-wrong-claim")
					b.ReportMetric(float64(sum.continuity)/float64(sum.bound), "x-bound")
					b.ReportMetric(float64(sum.continuity)/of, "continuity")
					b.ReportMetric(float64(sum.isolation)/of, "isolation")
					b.ReportMetric(walk/of, "plain-wire-by-wire")
					b.ReportMetric(scan/of, "plain-scan")
					b.ReportMetric(pairs/of, "plain-pairs")
					b.ReportMetric(float64(sum.slowest.Microseconds())/1000, "ms-slowest-next")
					b.StartTimer()
				}
			})
		}
	}
}

func (r trial) plus(other trial) trial {
	if r.sitting == nil {
		return other
	}
	r.named, r.wrong, r.bound = r.named+other.named, r.wrong+other.wrong, r.bound+other.bound
	r.continuity, r.isolation = r.continuity+other.continuity, r.isolation+other.isolation
	r.located, r.confirmed = r.located+other.located, r.confirmed+other.confirmed
	r.slowest = max(r.slowest, other.slowest)
	return r
}

func withoutWires(t testing.TB, m *model.Machine) *model.Machine {
	t.Helper()
	bare := model.NewMachine()
	var changes []model.Change
	for _, row := range m.Rows() {
		if _, is := row.(model.Wire); !is {
			changes = append(changes, model.Change{After: row})
		}
	}
	apply(t, bare, changes...)
	return bare
}

// BenchmarkNext times one more proposal while a break is looked for, on a machine
// whose readings are stored already, and the first one of all.
func BenchmarkNext(b *testing.B) {
	for _, terminals := range []int{5000, 100000} {
		b.Run(fmt.Sprint("terminals=", terminals), func(b *testing.B) {
			m := sample.Machine(1, terminals)
			session := faults.NewSession(m)
			p := New(session, Options{})
			start := time.Now()
			first := p.Next()
			firstTook := time.Since(start)
			reading := first.Probe.Reading(model.Value{Kind: model.ShowsOL})
			reading.Mode = model.ModeOhms
			reading.Number = int64(len(m.Readings) + 1)
			reading.Stored = reading.Number
			apply(b, m, model.Change{After: reading})
			session.Stored(reading)
			p.Took(*first.Probe)
			for b.Loop() {
				p.view, p.held = nil, nil // all that it worked out is worked out again
				if next := p.Next(); next.Done || next.Goal != Locate {
					b.Fatalf("%+v", next)
				}
			}
			b.ReportMetric(float64(firstTook.Microseconds())/1000, "ms-first")
		})
	}
}

// sitMap probes a machine of which the map has no wire.
func sitMap(t testing.TB, m *model.Machine, seed uint64) (s *sitting, found, of int, scan int) {
	t.Helper()
	truth := newTruth(t, m, seed)
	nets := graphs.NewCircuit(m, nil).Nets()
	bare := withoutWires(t, m)
	scan = representativeScan(bare, nets)
	s = sit(t, bare, truth, Options{Goal: Map}, 2*scan+100)
	got := s.session.Bench().Drawn.Nets()
	for _, wire := range m.Wires {
		if wire.Removed {
			continue
		}
		of++
		if got.Same(mustIndex(bare, wire.From), mustIndex(bare, wire.To)) {
			found++
		}
	}
	return s, found, of, scan
}

// representativeScan is how many readings it takes to try every piece of metal
// against one tip of each net found so far, in the order of the map.
func representativeScan(bare *model.Machine, truth *graphs.Nets) int {
	pieces := graphs.NewCircuit(bare, nil).Nets()
	done := make([]bool, len(pieces.List))
	var found []int // nets of the truth, in the order in which they were met
	readings := 0
	for t := range bare.Terminals {
		piece := pieces.Of[t]
		if done[piece] {
			continue
		}
		done[piece] = true
		at := slices.Index(found, truth.Of[t])
		if at < 0 {
			readings += len(found)
			found = append(found, truth.Of[t])
			continue
		}
		readings += at + 1
	}
	return readings
}

// TestMapFindsWires: from terminals and links alone, wires are found in fewer
// touches than one tip of each net takes, and none is made up.
func TestMapFindsWires(t *testing.T) {
	m := machineOf(t, 1, 100)
	s, found, of, scan := sitMap(t, m, 1)
	if len(s.probes) >= scan || 2*found < of {
		t.Errorf("%d probes find %d of %d wires, a scan of representatives takes %d", len(s.probes), found, of, scan)
	}
}
