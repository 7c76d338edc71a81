package nextprobe

import (
	"context"
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

// supposed is what verifying goes on from as if its probes had shown what a good
// machine shows.
type supposed struct {
	wires   map[int]bool          // proven by them, by place in Machine.Wires
	touches map[skippedTouch]bool // made
}

// Again proposes the probes that verify a scope, as a list, each chosen as if
// those before it had shown what a good machine shows. Readings that must not count
// any more are struck out in the machine before. Error: that of ctx. Cost: that of
// Next for each probe.
func Again(ctx context.Context, d *faults.Diagnosis, scope Scope) (*Verification, error) {
	v := &Verification{}
	p := New(d, Options{Goal: Verify})
	p.only = p.elementsOf(scope.Wires)
	_, live := d.Report().Live()
	p.supposed = supposed{map[int]bool{}, map[skippedTouch]bool{}}
	for len(p.only) > 0 && !live {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		proposal, found := p.verify()
		if !found {
			break
		}
		proposal.Goal = Verify
		v.Proposals = append(v.Proposals, proposal.worded())
		p.suppose(*proposal.Probe)
	}
	for id := range p.only {
		if p.circuit.Elements[id].Kind == graphs.Wire && !p.wireProven(id) {
			v.Wires = append(v.Wires, p.machine.Wires[id].Name)
		}
	}
	slices.SortFunc(v.Wires, model.Compare)
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
func (p *Planner) suppose(probe Probe) {
	red, _ := p.machine.TerminalIndex(probe.Red)
	black, _ := p.machine.TerminalIndex(probe.Black)
	reading := p.goodReading(probe.Mode, p.sight(red, black, probe.Conditions))
	reading.Red, reading.Black, reading.Conditions = probe.Red, probe.Black, probe.Conditions
	for _, row := range p.known.WouldProve(reading) {
		p.supposed.wires[row] = true
	}
	p.supposed.touches[p.plainPair(red, black, probe.Conditions)] = true
	p.Took(probe)
}

// plainPair names a touch without what only takes out batteries.
func (p *Planner) plainPair(a, b int, conditions model.Conditions) skippedTouch {
	r := model.Reading{Red: p.ref(a), Black: p.ref(b), Conditions: conditions}
	return skipped(r.Red, r.Black, p.bench.Staying().WithoutTakeOut(r))
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

// wanted says whether an element has to be proven at all: every one, unless
// verifying is limited.
func (p *Planner) wanted(element int) bool { return p.only == nil || p.only[element] }

// Separable lists the pairs of nets of a machine, by one terminal each,
// that must be apart and that no standing reading proves apart; only those that
// want returns true for, nets by their place in Bench.Apart. Cost: a look at each
// pair of rails, returns and earths.
func Separable(d *faults.Diagnosis, want func(a, b *graphs.Net) bool) [][2]model.TerminalRef {
	p := New(d, Options{Goal: Verify})
	nets := p.bench.AsIntended.Nets().List
	rails, returns, earths := p.separable()
	var found [][2]model.TerminalRef
	for _, others := range [][]int{returns, earths, rails} {
		for _, rail := range rails {
			for _, other := range others {
				if nets[other].Kind == graphs.NetRail && other <= rail {
					continue
				}
				if proven, counts := d.ApartProven(rail, other); proven || !counts || !want(&nets[rail], &nets[other]) {
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
