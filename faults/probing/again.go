package probing

import (
	"context"
	"fmt"
	"slices"

	"bellout/faults"
	"bellout/graphs"
	"bellout/model"
)

// Scope is what a change of the map touched: what has to be verified again.
type Scope struct {
	Wires []string               // that have to conduct
	Apart [][2]model.TerminalRef // terminals that no metal may join
}

// Verification is how a scope is verified.
type Verification struct {
	Proposals []Proposal
	// Wires and Apart are what of the scope no touch that may be asked for proves.
	// Terminals that metal joins by another way are in neither list: of them there
	// is nothing to prove.
	Wires []string
	Apart [][2]model.TerminalRef
}

// Again proposes the probes that verify a scope, as a list, each chosen as if
// those before it had shown what a good machine shows. The session takes those
// good readings in: it is of a machine of the caller's own, and of no use
// afterwards. Readings that must not count any more are struck out in it before.
// Error: that of ctx. Cost: that of Next for each probe.
func Again(ctx context.Context, session *faults.Session, scope Scope) (*Verification, error) {
	v := &Verification{}
	p := New(session, Options{Goal: Verify})
	p.look()
	p.only = p.elementsOf(scope.Wires)
	number := lastNumber(p.machine)
	_, live := session.Report().Live()
	for len(p.only) > 0 && !live {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		p.look()
		proposal, found := p.verify()
		if !found {
			break
		}
		proposal.Goal = Verify
		v.Proposals = append(v.Proposals, proposal.worded())
		number++
		if err := p.suppose(*proposal.Probe, number); err != nil {
			return nil, err
		}
	}
	for id := range p.only {
		if p.circuit.Elements[id].Kind == graphs.Wire && !p.session.WireProven(id) {
			v.Wires = append(v.Wires, p.machine.Wires[id].Name)
		}
	}
	slices.SortFunc(v.Wires, model.Compare)
	p.look()
	for _, pair := range scope.Apart {
		if live {
			v.Apart = append(v.Apart, pair)
			continue
		}
		proposal, found, joined := p.keptApart(pair)
		switch {
		case found:
			proposal.Goal = Verify
			v.Proposals = append(v.Proposals, proposal.worded())
		case !joined:
			v.Apart = append(v.Apart, pair)
		}
	}
	return v, nil
}

// elementsOf returns the elements of wires that are in the machine.
func (p *Planner) elementsOf(wires []string) map[int]bool {
	only := map[int]bool{}
	for _, name := range wires {
		if row, found := p.machine.WireIndex(name); found && !p.machine.Wires[row].Removed {
			only[row] = true
		}
	}
	return only
}

// suppose takes in what a good machine shows at a probe.
func (p *Planner) suppose(probe Probe, number int64) error {
	red, _ := p.machine.TerminalIndex(probe.Red)
	black, _ := p.machine.TerminalIndex(probe.Black)
	reading := p.goodReading(probe.Mode, p.sight(red, black, probe.Conditions))
	reading.Red, reading.Black, reading.Conditions = probe.Red, probe.Black, probe.Conditions
	reading.Number, reading.Stored = number, laterThanTouches(p.machine)
	for _, e := range p.machine.Events { // taken now, so that it speaks of the parts that are in now
		if e.At.After(reading.At) {
			reading.At = e.At
		}
	}
	if err := p.machine.Apply(model.Edit{Changes: []model.Change{{After: reading}}}); err != nil {
		return fmt.Errorf("supposing a reading: %w", err)
	}
	p.session.Stored(reading)
	p.Took(probe)
	return nil
}

// keptApart proposes to touch two terminals that no metal of the map joins, in
// the mode in which a good reading would be surprising if it did. joined: the map
// joins them, or has them no more.
func (p *Planner) keptApart(pair [2]model.TerminalRef) (made Proposal, found, joined bool) {
	red, known := p.machine.TerminalIndex(pair[0])
	black, both := p.machine.TerminalIndex(pair[1])
	if !known || !both || red == black || p.circuit.Nets().Same(red, black) {
		return Proposal{}, false, true
	}
	mode, conditions := p.apartMode(red, black, nil), model.Conditions(nil)
	if mode == "" && !p.mains(red) && !p.mains(black) { // nothing is unplugged there
		mode, conditions = p.apartUnplugged(red, black)
	}
	if mode == "" {
		return Proposal{}, false, false
	}
	return p.separationProposal(red, black, mode, conditions, 1), true, false
}

func lastNumber(m *model.Machine) int64 {
	last := int64(0)
	for _, r := range m.Readings {
		last = max(last, r.Number)
	}
	return last
}

// laterThanTouches is a place in the order of edits and readings after all that
// the machine remembers.
func laterThanTouches(m *model.Machine) int64 {
	last := int64(0)
	for _, t := range m.Touches {
		last = max(last, t.Stored)
	}
	for _, r := range m.Readings {
		last = max(last, r.Stored)
	}
	return last + 1
}

// wanted says whether an element has to be proven at all: every one, unless
// verifying is limited.
func (p *Planner) wanted(element int) bool { return p.only == nil || p.only[element] }

// Separable lists the pairs of nets of a session's machine, by one terminal each,
// that must be apart and that no standing reading proves apart; only those that
// want returns true for, nets by their place in Bench.Apart. Cost: a look at each
// pair of rails, returns and earths.
func Separable(session *faults.Session, want func(a, b *graphs.Net) bool) [][2]model.TerminalRef {
	p := New(session, Options{Goal: Verify})
	p.look()
	nets := p.bench.Apart.Nets().List
	rails, returns, earths := p.separable()
	var found [][2]model.TerminalRef
	for _, others := range [][]int{returns, earths, rails} {
		for _, rail := range rails {
			for _, other := range others {
				if nets[other].Kind == graphs.NetRail && other <= rail {
					continue
				}
				if proven, counts := session.ApartProven(rail, other); proven || !counts || !want(&nets[rail], &nets[other]) {
					continue
				}
				if red, black, _ := p.apartTips(rail, other); red != black {
					found = append(found, [2]model.TerminalRef{p.ref(red), p.ref(black)})
				}
			}
		}
	}
	return found
}
