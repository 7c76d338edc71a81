package nextprobe

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"bellout/graphs"
	"bellout/model"
)

// BenchmarkMap maps machines from nothing, beside a scan of representatives, a
// sequential walk and every pair, in the same run. least is what no way of trying pairs can do
// without: pieces of metal less nets, since a join makes at most two classes one.
// ms-a-touch is what a touch takes on the whole: the proposal, what the reading
// says, and taking it in with the wire that it found.
func BenchmarkMap(b *testing.B) {
	for _, size := range []int{0, 100, 500, 2000} {
		const seeds = uint64(2)
		b.Run(fmt.Sprint("terminals=", size), func(b *testing.B) {
			for b.Loop() {
				b.StopTimer()
				var took time.Duration
				var probes, scans, least, found, of, runs, pairs, walk int
				for seed := range seeds {
					m := demoMachine(b)
					if size > 0 {
						m = machineOf(b, seed, size)
					}
					pieces := graphs.NewCircuit(withoutWires(b, m), nil).Nets()
					walk += sequentialWalk(pieces, graphs.NewCircuit(m, nil).Nets())
					least += len(pieces.List) - len(graphs.NewCircuit(m, nil).Nets().List)
					pairs += len(m.Terminals) * (len(m.Terminals) - 1) / 2
					b.StartTimer()
					start := time.Now()
					s, got, all, scan := sitMap(b, m, seed)
					took += time.Since(start)
					b.StopTimer()
					probes, scans, found, of = probes+len(s.probes), scans+scan, found+got, of+all
					runs += leadRuns(s.probes)
				}
				b.ReportMetric(float64(probes)/float64(scans), "x-scan")
				b.ReportMetric(float64(probes)/float64(least), "x-least")
				b.ReportMetric(100*float64(found)/float64(of), "%found")
				b.ReportMetric(float64(probes)/float64(runs), "touches-a-lead-stays")
				b.ReportMetric(float64(probes)/float64(seeds), "touches")
				b.ReportMetric(float64(took.Milliseconds())/float64(probes), "ms-a-touch")
				b.ReportMetric(float64(scans)/float64(seeds), "plain-scan")
				b.ReportMetric(float64(walk)/float64(seeds), "plain-walk")
				b.ReportMetric(float64(pairs)/float64(seeds), "plain-pairs")
				b.StartTimer()
			}
		})
	}
}

// BenchmarkMapRest maps the rest of machines of which half of the wires are known,
// with their colours and cables, beside a scan of representatives, and beside the
// same without colours and cables.
func BenchmarkMapRest(b *testing.B) {
	for _, size := range []int{0, 100, 500, 1000} {
		const seeds = uint64(4)
		b.Run(fmt.Sprint("terminals=", size), func(b *testing.B) {
			for b.Loop() {
				var probes, plain, plainFound, scans, found, of int
				for seed := range seeds {
					m := demoMachine(b)
					if size > 0 {
						m = machineOf(b, seed, size)
					}
					some := withSomeWires(b, m, rand.New(rand.NewPCG(seed, 9)), 0.5)
					bare := withoutColours(b, some.Clone())
					s, got, all, scan := sitOn(b, some, m, seed)
					probes, scans, found, of = probes+len(s.probes), scans+scan, found+got, of+all
					s, got, _, _ = sitOn(b, bare, m, seed)
					plain, plainFound = plain+len(s.probes), plainFound+got
				}
				b.ReportMetric(float64(probes)/float64(scans), "x-scan")
				b.ReportMetric(float64(plain)/float64(scans), "x-scan-without-colours")
				b.ReportMetric(100*float64(found)/float64(of), "%found")
				b.ReportMetric(100*float64(plainFound)/float64(of), "%found-without-colours")
				b.ReportMetric(float64(probes)/float64(seeds), "touches")
			}
		})
	}
}

// withoutColours takes the colours and the cables of a machine's wires off its map.
func withoutColours(t testing.TB, m *model.Machine) *model.Machine {
	t.Helper()
	var changes []model.Change
	for _, wire := range m.Wires {
		if wire.Colour != "" || wire.Cable != "" {
			bare := wire
			bare.Colour, bare.Cable = "", ""
			changes = append(changes, model.Change{Before: wire, After: bare})
		}
	}
	apply(t, m, changes...)
	return m
}

// sequentialWalk is how many readings it takes to hold one tip on each piece of
// metal in turn and to walk the other along all that come after it, until one
// beeps or the walk ends. It remembers nothing.
func sequentialWalk(pieces, truth *graphs.Nets) int {
	last := map[int]int{} // by net of the truth: the piece of it met last, from the end
	readings := 0
	for at := len(pieces.List) - 1; at >= 0; at-- {
		net := truth.Of[pieces.List[at].Terminals[0]]
		if next, found := last[net]; found {
			readings += next - at
		} else {
			readings += len(pieces.List) - 1 - at
		}
		last[net] = at
	}
	return readings
}

// leadRuns counts the runs of touches in which no more than one tip moves at a
// time.
func leadRuns(probes []Probe) int {
	runs := 0
	var held [2]model.TerminalRef
	for _, p := range probes {
		if held[0] != p.Red && held[0] != p.Black && held[1] != p.Red && held[1] != p.Black {
			runs++
		}
		held = [2]model.TerminalRef{p.Red, p.Black}
	}
	return runs
}

// withSomeWires is a machine with about that share of its wires.
func withSomeWires(t testing.TB, m *model.Machine, random *rand.Rand, share float64) *model.Machine {
	t.Helper()
	bare := model.NewMachine()
	var changes []model.Change
	for _, row := range m.Rows() {
		if _, is := row.(model.Wire); !is || random.Float64() < share {
			changes = append(changes, model.Change{After: row})
		}
	}
	apply(t, bare, changes...)
	return bare
}
