package nextprobe

import (
	"fmt"
	"testing"

	"bellout/assets"
	"bellout/graphs"
)

// BenchmarkLocateAsThought plants single flaws as often as the table of priors has
// them: the Huffman length is a mean over what is thought, and is held here against
// machines that are as thought. In BenchmarkBench each kind comes as often as any
// other, and a short, of which one is thought in dozens of opens, costs more than
// the mean.
func BenchmarkLocateAsThought(b *testing.B) {
	seeds := seedsWanted()
	for _, size := range []int{0, 100, 500} {
		b.Run(fmt.Sprintf("terminals=%d", size), func(b *testing.B) {
			for b.Loop() {
				sum := trials(b, size, seeds, 1, asThought)
				of := float64(seeds)
				b.ReportMetric(100*float64(sum.named)/of, "%named")
				b.ReportMetric(100*float64(sum.claims)/of, "%with-wrong-claim")
				b.ReportMetric(float64(sum.located)/of, "locate")
				b.ReportMetric(sum.huffman/of, "locate-huffman")
				b.ReportMetric(float64(sum.outcome)/of, "locate-huffman-outcome")
			}
		})
	}
}

// asThought draws a kind by the table's weights and by how many places of a machine
// there are for it.
func asThought(w *truth, _ uint64, _ int) string {
	priors := assets.DefaultPriors()
	nets := graphs.NewCircuit(w.Machine, nil).Nets()
	weights := map[string]float64{}
	ends := map[string]int{}
	for _, wire := range w.Wires {
		if wire.Removed {
			continue
		}
		weights["open"] += priors.Of("wire-open") + 2*priors.Of("wire-end-loose")
		weights["swapped"] += priors.Of("swap")
		if inOhms(nets.Net(mustIndex(w.Machine, wire.From))) {
			weights["high"] += 2 * priors.Of("wire-end-high")
		}
		ends[wire.From.String()]++
		ends[wire.To.String()]++
	}
	for _, wires := range ends {
		if wires > 1 {
			weights["joint"] += priors.Of("joint-open")
		}
	}
	for a := range nets.List {
		for b := range nets.List[:a] {
			if separable(nets, nets.List[a].Terminals[0], nets.List[b].Terminals[0]) {
				weights["short"] += priors.Of("short")
			}
		}
	}
	total := 0.0
	for _, kind := range flawKinds {
		total += weights[kind]
	}
	at := w.random.Float64() * total
	for _, kind := range flawKinds {
		if at -= weights[kind]; at < 0 {
			return kind
		}
	}
	return flawKinds[0]
}
