// Package merge brings the work of two people together who went on from one
// file on two laptops. Readings of both are kept; rows that only one of them
// changed are as that one left them; where both changed one, field by field,
// what cannot both be true is a conflict, listed with both values, and the
// caller chooses. It knows machines only; the store says where two files
// parted.
package merge

import (
	"context"
	"slices"

	"bellout/model"
)

// Choice says which side of a conflict is taken.
type Choice int

// The choices.
const (
	Mine   Choice = iota // as the receiving file has it
	Theirs               // as the other file has it
	Both                 // mine, and theirs under a name of its own; see Conflict.MayKeepBoth
)

// Reason says why something is a conflict.
type Reason string

// The reasons.
const (
	BothChanged Reason = "both changed it"
	BothAdded   Reason = "both added it"
	Deleted     Reason = "one changed what the other deleted"
	Needed      Reason = "one uses what the other deleted" // something new of that one ends there
)

// Conflict is one row of which both sides cannot be kept as they are.
type Conflict struct {
	Table  model.Table
	ID     string
	Reason Reason
	// Base is the row before both began, Mine and Theirs what it becomes by each
	// choice; nil: it is not there. Fields that only one side changed are as that
	// side has them in both.
	Base, Mine, Theirs model.Row
	// Fields are the columns that cannot be as both have them; empty where a row
	// is deleted or used.
	Fields []string
	// MayKeepBoth says that Both is a choice: two rows that got one name by
	// chance, as wires found on two laptops do.
	MayKeepBoth bool
}

// Safe returns the choice by which nothing is lost, where there is one: both, or
// the side that has the row. Else it is Mine.
func (c Conflict) Safe() Choice {
	switch {
	case c.MayKeepBoth:
		return Both
	case c.Mine == nil:
		return Theirs
	default:
		return Mine
	}
}

// Plan is how two machines become one.
type Plan struct {
	mine, theirs *model.Machine
	is, other    map[key]model.Row // the rows of mine and of theirs
	rows         map[key]model.Row // the outcome; nil: gone
	conflicts    map[key]Conflict
	readings     readings
	// same holds wires of theirs that mine found too, under another name.
	same map[string]string
}

type key struct {
	table model.Table
	id    string
}

func keyOf(row model.Row) key { return key{row.Table(), row.ID()} }

// Make plans to bring theirs into mine; base is the machine that both began
// with. The three are left as they are. Error: that of ctx, looked at between
// steps and every few thousand rows. Cost: linear in all.
func Make(ctx context.Context, base, mine, theirs *model.Machine) (*Plan, error) {
	p := &Plan{mine: mine, theirs: theirs, rows: map[key]model.Row{}, conflicts: map[key]Conflict{}, same: map[string]string{}}
	look := pace{ctx: ctx}
	all := [3]map[key]model.Row{}
	for i, m := range []*model.Machine{base, mine, theirs} {
		var err error
		if all[i], err = rowsOf(&look, m); err != nil {
			return nil, err
		}
	}
	was, is, other := all[0], all[1], all[2]
	p.is, p.other = is, other
	p.sameDiscoveries(was, is, other)
	for _, rows := range all {
		for k := range rows {
			if err := look.step(); err != nil {
				return nil, err
			}
			if _, met := p.rows[k]; !met && p.conflicts[k].Table == "" {
				p.decide(k, was[k], is[k], other[k])
			}
		}
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	p.readings = readingsOf(base, mine, theirs)
	if err := p.findNeeded(&look, was, is, other); err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return p, nil
}

// pace looks at a context now and then: that costs more than a row.
type pace struct {
	ctx  context.Context
	rows int
}

// rowsPerLook is how many rows go by between two looks.
const rowsPerLook = 2048

func (l *pace) step() error {
	if l.rows++; l.rows%rowsPerLook == 0 {
		return l.ctx.Err()
	}
	return nil
}

// rowsOf returns every row of a machine but its readings.
func rowsOf(look *pace, m *model.Machine) (map[key]model.Row, error) {
	list := map[key]model.Row{}
	for _, row := range m.Rows() {
		if err := look.step(); err != nil {
			return nil, err
		}
		if row.Table() != model.TableReading {
			list[keyOf(row)] = row
		}
	}
	return list, nil
}

// decide settles one row, or makes a conflict of it.
func (p *Plan) decide(k key, base, mine, theirs model.Row) {
	switch {
	case model.SameRow(mine, theirs), model.SameRow(theirs, base):
		p.rows[k] = mine
	case model.SameRow(mine, base):
		p.rows[k] = theirs
	case base == nil:
		p.settle(k, BothAdded, nil, mine, theirs)
	case k.table == model.TablePlace && mine == nil:
		p.rows[k] = theirs // where a box stands is nothing to ask about
	case k.table == model.TablePlace && theirs == nil:
		p.rows[k] = mine
	case mine == nil || theirs == nil:
		p.conflicts[k] = Conflict{Table: k.table, ID: k.id, Reason: Deleted, Base: base, Mine: mine, Theirs: theirs}
	default:
		p.settle(k, BothChanged, base, mine, theirs)
	}
}

// settle brings two versions of a row together, field by field.
func (p *Plan) settle(k key, reason Reason, base, mine, theirs model.Row) {
	if place, isPlace := mine.(model.Place); isPlace {
		if one, settled := settlePlaces(place, theirs.(model.Place)); settled {
			p.rows[k] = one
			return
		}
	}
	withMine, withTheirs, fields := byField(base, mine, theirs)
	if len(fields) == 0 {
		p.rows[k] = withMine
		return
	}
	p.conflicts[k] = Conflict{Table: k.table, ID: k.id, Reason: reason, Base: base, Mine: withMine, Theirs: withTheirs, Fields: fields,
		MayKeepBoth: reason == BothAdded && twoThings(mine, theirs)}
}

// settlePlaces chooses between two places of a device that nobody has to be
// asked about: one where a person put it before one that was worked out, and of
// two that were worked out any.
func settlePlaces(a, b model.Place) (place model.Place, settled bool) {
	switch {
	case a.Pinned && b.Pinned:
		return a, false
	case a.Pinned:
		return a, true
	case b.Pinned:
		return b, true
	case b.X < a.X || b.X == a.X && b.Y < a.Y:
		return b, true
	}
	return a, true
}

// twoThings says whether two rows of one name are things of their own.
func twoThings(mine, theirs model.Row) bool {
	switch mine := mine.(type) {
	case model.Wire:
		return endsOf(mine) != endsOf(theirs.(model.Wire))
	case model.Template:
		return true
	}
	return false
}

// Conflicts returns what has to be chosen, table by table and by name; empty if
// nothing has.
func (p *Plan) Conflicts() []Conflict {
	list := make([]Conflict, 0, len(p.conflicts))
	for _, conflict := range p.conflicts {
		list = append(list, conflict)
	}
	slices.SortFunc(list, func(a, b Conflict) int {
		if order := slices.Index(model.Tables, a.Table) - slices.Index(model.Tables, b.Table); order != 0 {
			return order
		}
		return model.Compare(a.ID, b.ID)
	})
	return list
}

// endsOf returns the ends of a wire, whichever was written first.
func endsOf(w model.Wire) [2]model.TerminalRef {
	if model.CompareRefs(w.To, w.From) < 0 {
		return [2]model.TerminalRef{w.To, w.From}
	}
	return [2]model.TerminalRef{w.From, w.To}
}

// sameDiscoveries finds wires that both found with the meter, between the same
// terminals and under two names: they are one.
func (p *Plan) sameDiscoveries(base, mine, theirs map[key]model.Row) {
	found := map[[2]model.TerminalRef]string{}
	for k, row := range mine {
		wire, isWire := row.(model.Wire)
		if isWire && base[k] == nil && !wire.Removed && wire.Basis == model.BasisProbed {
			if name, twice := found[endsOf(wire)]; !twice || model.Less(wire.Name, name) {
				found[endsOf(wire)] = wire.Name
			}
		}
	}
	for k, row := range theirs {
		wire, isWire := row.(model.Wire)
		if !isWire || base[k] != nil || wire.Removed || wire.Basis != model.BasisProbed {
			continue
		}
		if name, too := found[endsOf(wire)]; too && name != wire.Name && mine[k] == nil {
			p.same[wire.Name] = name
			p.rows[k] = nil
		}
	}
}
