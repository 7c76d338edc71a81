package nextprobe

import (
	"fmt"
	"os"
	"runtime"
	"slices"
	"strconv"
	"sync"
	"testing"

	"bellout/faults"
	"bellout/graphs"
	"bellout/model"
)

// trial is one machine with some flaws, probed to the end.
type trial struct {
	*sitting
	w            *truth
	bound        int
	named, wrong int
}

func try(t testing.TB, m *model.Machine, seed uint64, flaws int, options Options) trial {
	t.Helper()
	return tryWith(t, m, seed, flaws, options, inTurn)
}

// inTurn plants each kind as often as any other.
func inTurn(_ *truth, seed uint64, flaw int) string {
	return flawKinds[(int(seed)+flaw+int(seed)/len(flawKinds))%len(flawKinds)]
}

func tryWith(t testing.TB, m *model.Machine, seed uint64, flaws int, options Options, kind func(w *truth, seed uint64, flaw int) string) trial {
	t.Helper()
	w := newTruth(t, m, seed)
	for i := range flaws {
		w.plant(t, kind(w, seed, i))
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
					if bad := liveOnMains(r.planner.known, probe); bad != "" {
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
func liveOnMains(d *faults.Diagnosis, probe Probe) string {
	if probe.Mode == model.ModeOhms || probe.Mode == model.ModeContinuity {
		return ""
	}
	b := d.Analysis()
	for _, ref := range [2]model.TerminalRef{probe.Red, probe.Black} {
		if t, _ := b.Machine.TerminalIndex(ref); b.AsDrawn.Nets().Kind(t).Mains() {
			return ref.String() + " is on the mains, and the mode is " + string(probe.Mode)
		}
	}
	return ""
}

func seedsWanted() int {
	seeds := 4
	if text := os.Getenv("SEEDS"); text != "" {
		seeds, _ = strconv.Atoi(text)
	}
	return seeds
}

// BenchmarkBench prints the table of the simulated bench: SEEDS trials (4 unless
// the environment says more, 200 take some ten minutes on two processors) of each size and number of flaws, with the plain
// ways beside them: every pair of terminals, one tip of each net in turn, one
// wire after another.
func BenchmarkBench(b *testing.B) {
	seeds := seedsWanted()
	for _, size := range []int{0, 100, 500, 2000} {
		for count := range 3 {
			b.Run(fmt.Sprintf("terminals=%d/flaws=%d", size, count), func(b *testing.B) {
				for b.Loop() {
					sum := trials(b, size, seeds, count, inTurn)
					of := float64(seeds)
					if count > 0 {
						b.ReportMetric(100*float64(sum.named)/(of*float64(count)), "%named")
						b.ReportMetric(float64(sum.located)/of, "locate")
						b.ReportMetric(sum.huffman/of, "locate-huffman")
						b.ReportMetric(float64(sum.outcome)/of, "locate-huffman-outcome")
						b.ReportMetric(sum.apart/of, "locate-huffman-apart")
						b.ReportMetric(sum.best/of, "locate-best")
						b.ReportMetric(float64(sum.seconds)/of, "locate-second-looks")
						b.ReportMetric(float64(sum.repeats)/of, "locate-repeats")
						b.ReportMetric(float64(sum.confirmed)/of, "confirm")
					}
					b.ReportMetric(100*float64(sum.claims)/of, "%with-wrong-claim")
					b.ReportMetric(float64(sum.continuity)/float64(sum.bound), "x-bound")
					b.ReportMetric(float64(sum.continuity)/of, "continuity")
					b.ReportMetric(float64(sum.isolation)/of, "isolation")
					b.ReportMetric(sum.walk/of, "plain-wire-by-wire")
					b.ReportMetric(sum.scan/of, "plain-scan")
					b.ReportMetric(sum.pairs/of, "plain-pairs")
					b.ReportMetric(float64(sum.slowest.Microseconds())/1000, "ms-slowest-next")
				}
			})
		}
	}
}

// tally is what several trials and the plain ways beside them come to.
type tally struct {
	trial
	claims            int // trials with a finding that names no flaw
	pairs, scan, walk float64
}

// trials makes a number of trials, as many at a time as there are processors.
func trials(b *testing.B, size, seeds, flaws int, kind func(w *truth, seed uint64, flaw int) string) tally {
	var sum tally
	var lock sync.Mutex
	var group sync.WaitGroup
	work := make(chan uint64)
	for range runtime.GOMAXPROCS(0) {
		group.Add(1)
		go func() {
			defer group.Done()
			for seed := range work {
				m := demoMachine(b)
				if size > 0 {
					m = machineOf(b, seed, size)
				}
				n := float64(len(m.Terminals))
				wires := float64(len(m.Wires))
				scan := float64(representativeScan(withoutWires(b, m), graphs.NewCircuit(m, nil).Nets()))
				r := tryWith(b, m, seed, flaws, Options{}, kind)
				lock.Lock()
				sum.trial = sum.trial.plus(r)
				sum.claims += b2i(r.wrong > 0)
				sum.pairs += n * (n - 1) / 2
				sum.walk += wires
				sum.scan += scan
				lock.Unlock()
			}
		}()
	}
	for seed := range uint64(seeds) {
		work <- seed
	}
	close(work)
	group.Wait()
	return sum
}

func (r trial) plus(other trial) trial {
	if r.sitting == nil {
		return other
	}
	r.named, r.wrong, r.bound = r.named+other.named, r.wrong+other.wrong, r.bound+other.bound
	r.continuity, r.isolation = r.continuity+other.continuity, r.isolation+other.isolation
	r.huffman, r.apart, r.best = r.huffman+other.huffman, r.apart+other.apart, r.best+other.best
	r.outcome += other.outcome
	r.seconds, r.repeats = r.seconds+other.seconds, r.repeats+other.repeats
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

// sitMap probes a machine of which the map has no wire.
func sitMap(t testing.TB, m *model.Machine, seed uint64) (s *sitting, found, of int, scan int) {
	t.Helper()
	return sitOn(t, withoutWires(t, m), m, seed)
}

// sitOn probes a machine of which the map has some of the wires.
func sitOn(t testing.TB, bare, m *model.Machine, seed uint64) (s *sitting, found, of int, scan int) {
	t.Helper()
	truth := newTruth(t, m, seed)
	nets := graphs.NewCircuit(m, nil).Nets()
	scan = representativeScan(bare, nets)
	s = sit(t, bare, truth, Options{Goal: Map}, 2*scan+100)
	got := s.planner.known.Analysis().AsDrawn.Nets()
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

// TestAMapFromNothingCallsNoFault: a sound machine that is mapped by touches alone, to
// the end, has no fault, whatever the meter showed on the way through parts whose
// wires came later or never; and every row that came joins what is one net.
func TestAMapFromNothingCallsNoFault(t *testing.T) {
	machines := map[string]*model.Machine{"demo": demoMachine(t)}
	for seed := range uint64(4) {
		machines[fmt.Sprint("of 200 terminals, seed ", seed)] = machineOf(t, seed, 200)
	}
	for name, m := range machines {
		s, found, of, _ := sitMap(t, m, 1)
		if 20*found < 19*of {
			t.Errorf("%s: %d of %d wires are in nets", name, found, of)
		}
		mapped, nets := s.planner.known.Analysis().Machine, graphs.NewCircuit(m, nil).Nets()
		for _, wire := range mapped.Wires {
			if wire.Basis != model.BasisJoined || !nets.Same(mustIndex(m, wire.From), mustIndex(m, wire.To)) {
				t.Errorf("%s: %s, %s from %s to %s", name, wire.Name, wire.Basis, wire.From, wire.To)
			}
		}
		for _, f := range faults.Check(mapped).Findings {
			if f.Severity == faults.Fault {
				t.Errorf("%s: %s: %s", name, f.Rule, f.Message)
			}
		}
	}
}
