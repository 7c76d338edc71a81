package faults

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"bellout/model"
)

// Discovery is a wire that a reading shows and the map does not have.
type Discovery struct {
	Wire    model.Wire // to be stored with the reading
	Message string
}

// Changes are what is stored with the reading; nothing where there is no discovery.
func (found *Discovery) Changes() []model.Change {
	if found == nil {
		return nil
	}
	return []model.Change{{After: found.Wire}}
}

// Discover says which wire a reading that is about to be stored shows; nil if none.
// Both tips must be terminals of the machine.
func (d *Diagnosis) Discover(r model.Reading) *Discovery {
	e := d.analysis.evidence
	r.Number, r.Stored = math.MaxInt64, math.MaxInt64 // it comes after every edit and every reading
	if !e.isGap(r, e.weigh(r).judgement) {
		return nil
	}
	wire := d.wireOf(r)
	message := fmt.Sprintf("%s and %s are joined by metal: %s on the map now. Which way the wire runs, nobody has seen yet.", wire.From, wire.To, wire.Name)
	return &Discovery{wire, strings.TrimSpace(message + " " + e.judge.Caution(r))}
}

// wireOf returns the row that says what a reading found: metal joins its two
// terminals, which way nobody has seen. It stands from the end that is wired already
// to the one that is not.
func (d *Diagnosis) wireOf(r model.Reading) model.Wire {
	from, to := r.Red, r.Black
	m := d.analysis.Machine
	if red, _ := m.TerminalIndex(r.Red); !d.analysis.AsDrawn.Wired(red) {
		if black, _ := m.TerminalIndex(r.Black); d.analysis.AsDrawn.Wired(black) {
			from, to = to, from
		}
	}
	return model.Wire{Name: freshWire(m), From: from, To: to, Basis: model.BasisJoined}
}

// freshWire returns a wire's name that the map does not have: W and the number
// after the highest.
func freshWire(m *model.Machine) string {
	highest := 0
	for _, wire := range m.Wires {
		if digits, plain := strings.CutPrefix(wire.Name, "W"); plain {
			if number, err := strconv.Atoi(digits); err == nil && number > highest && number < 1<<30 {
				highest = number
			}
		}
	}
	return fmt.Sprintf("W%d", highest+1)
}
