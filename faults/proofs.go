package faults

import (
	"cmp"
	"slices"
	"strings"

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

// NewProofs judges the readings of a machine. stop is asked now and then and
// ends it with the error that it returns; it may be nil. Cost: linear in the
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

// provenWires returns the readings that prove each wire, by its place in
// Machine.Wires. It needs the circuit alone: which nets are apart is not asked.
func provenWires(m *model.Machine, stop func() error) (map[int][]int64, error) {
	drawn := graphs.NewCircuit(m, nil)
	j := judge.New(drawn)
	e := &evidence{judge: j, stale: j.NewStaleness(), proof: newProof(&Bench{Machine: m, Drawn: drawn, Apart: drawn})}
	readings := slices.Clone(m.Readings)
	slices.SortFunc(readings, func(x, y model.Reading) int { // readings under one condition share what is worked out for it
		return cmp.Or(strings.Compare(x.Conditions.String(), y.Conditions.String()), cmp.Compare(x.Number, y.Number))
	})
	asked := 0
	stopped := func() error {
		if asked++; stop == nil || asked%256 != 0 {
			return nil
		}
		return stop()
	}
	touches := map[touchKey][]*weighed{}
	var keys []touchKey // in the order of the readings
	for _, reading := range readings {
		if err := stopped(); err != nil {
			return nil, err
		}
		w := e.weigh(reading)
		if !w.counts {
			continue
		}
		if len(touches[w.key]) == 0 {
			keys = append(keys, w.key)
		}
		touches[w.key] = append(touches[w.key], w)
	}
	wires := map[int][]int64{}
	for _, key := range keys {
		if e.anyDisagree(touches[key]) {
			continue
		}
		for _, w := range touches[key] {
			if err := stopped(); err != nil {
				return nil, err
			}
			if w.judgement.Outcome != judge.Agrees || w.judgement.ByBond {
				continue
			}
			for _, row := range e.proof.wiresOf(e, w) {
				wires[row] = append(wires[row], w.reading.Number)
			}
		}
	}
	return wires, nil
}

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
