package faults

import (
	"cmp"
	"runtime"
	"slices"
	"strings"
	"sync"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// Proofs say what the readings prove of a machine's wires, without looking for
// what is wrong with it: it equals what a Session says of the same, in a part of
// its time.
type Proofs struct {
	Bench *Bench // what the map alone says; it has no findings of readings

	wires map[int][]int64
}

// NewProofs judges the readings of a machine. stop is asked now and then, by
// several at once, and ends it with the error that it returns; it may be nil. Cost: linear in the
// map, and one look at each reading, side by side with laying out the bench.
func NewProofs(m *model.Machine, stop func() error) (*Proofs, error) {
	laid := make(chan *Bench, 1)
	go func() { laid <- layOut(m) }()
	wires, err := provenWires(m, stop)
	p := &Proofs{Bench: <-laid, wires: wires}
	if err != nil {
		return nil, err
	}
	return p, nil
}

// readingsPerWorker is how many readings are worth a worker of their own: each
// makes a judge.
const readingsPerWorker = 1000

// provenWires returns the readings that prove each wire, by its place in
// Machine.Wires. It needs the circuit alone: which nets are apart is not asked.
func provenWires(m *model.Machine, stop func() error) (map[int][]int64, error) {
	drawn := graphs.NewCircuit(m, nil)
	b := &Bench{Machine: m, Drawn: drawn, Apart: drawn, stays: findStaying(drawn, drawn.LeftInPlace())}
	readings := make([]keyedReading, len(m.Readings))
	for i, reading := range m.Readings {
		readings[i] = keyedReading{reading, b.keyOf(reading)}
	}
	// Readings under one condition share what is worked out for it, and those of
	// one pair are judged together.
	slices.SortFunc(readings, func(x, y keyedReading) int {
		return cmp.Or(strings.Compare(x.key.conditions, y.key.conditions), model.CompareRefs(x.key.a, y.key.a), model.CompareRefs(x.key.b, y.key.b),
			compareBools(x.key.diode, y.key.diode), cmp.Compare(x.Number, y.Number))
	})
	workers := max(1, min(runtime.GOMAXPROCS(0), len(readings)/readingsPerWorker))
	found, failed := make([]map[int][]int64, workers), make([]error, workers)
	var running sync.WaitGroup
	for at := range workers {
		mine := readings[cutAt(readings, at, workers):cutAt(readings, at+1, workers)]
		running.Go(func() { found[at], failed[at] = provenBy(b, mine, stop) })
	}
	running.Wait()
	for _, err := range failed {
		if err != nil {
			return nil, err
		}
	}
	wires := found[0]
	for _, more := range found[1:] {
		for row, numbers := range more {
			wires[row] = append(wires[row], numbers...)
		}
	}
	return wires, nil
}

func compareBools(x, y bool) int {
	switch {
	case x == y:
		return 0
	case y:
		return -1
	}
	return 1
}

// keyedReading is a reading with what it touched.
type keyedReading struct {
	model.Reading
	key touchKey
}

// cutAt is where the share of a worker begins: no pair is cut in two.
func cutAt(readings []keyedReading, worker, workers int) int {
	at := worker * len(readings) / workers
	for at > 0 && at < len(readings) && readings[at].key == readings[at-1].key {
		at++
	}
	return at
}

// provenBy returns what some readings prove, all those of a pair among them.
func provenBy(b *Bench, readings []keyedReading, stop func() error) (map[int][]int64, error) {
	j := judge.New(b.Drawn)
	e := &evidence{b: b, judge: j, stale: j.NewStaleness(), proof: newProof(b)}
	wires := map[int][]int64{}
	var pair []*weighed
	prove := func() {
		if e.anyDisagree(pair) {
			return
		}
		for _, w := range pair {
			if w.judgement.Outcome != judge.Agrees || w.judgement.ByBond {
				continue
			}
			for _, row := range e.proof.wiresOf(e, w) {
				wires[row] = append(wires[row], w.reading.Number)
			}
		}
	}
	for at, reading := range readings {
		if at%readingsPerLook == 0 && stop != nil {
			if err := stop(); err != nil {
				return nil, err
			}
		}
		if at > 0 && readings[at-1].key != reading.key {
			prove()
			pair = pair[:0]
		}
		if w := e.weigh(reading.Reading); w.counts {
			pair = append(pair, w)
		}
	}
	prove()
	return wires, nil
}

// readingsPerLook is how many readings are judged between two looks at whether
// to stop.
const readingsPerLook = 256

// ProvenBy returns the numbers of the readings that prove a wire, by its place
// in Machine.Wires, rising; nil where none does.
func (p *Proofs) ProvenBy(row int) []int64 {
	list := slices.Clone(p.wires[row])
	slices.Sort(list)
	return list
}

// anyDisagree says whether two readings of one pair cannot both hold.
func (e *evidence) anyDisagree(list []*weighed) bool {
	for at, one := range list {
		for _, other := range list[:at] {
			if e.disagree(other, one) {
				return true
			}
		}
	}
	return false
}
