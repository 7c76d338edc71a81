package faults

import (
	"fmt"
	"slices"

	"bellout/graphs"
	"bellout/model"
)

var mistakeKinds = []string{"open wire", "open link", "high wire", "high link", "short", "swapped"}

// plant makes one mistake that readings can show and that lies apart from those
// before; of a kind that the machine has no place for, an open wire.
func (r *trialRun) plant(kind string, before []mistake) mistake {
	r.t.Helper()
	for range 2000 {
		saved := r.truth.Clone()
		m, planted := r.try(kind)
		if planted && r.apart(m, before) && r.visible(m) {
			return m
		}
		r.truth = saved
	}
	if kind == "open wire" {
		r.t.Fatal("no place for a mistake")
	}
	return r.plant("open wire", before)
}

func (r *trialRun) apart(m mistake, before []mistake) bool {
	for _, other := range before {
		for t := range m.visits {
			if other.visits[t] {
				return false
			}
		}
	}
	return true
}

// visible says whether the first reading shows something else than the map has,
// by more than any part or lead explains.
func (r *trialRun) visible(m mistake) bool {
	p := m.probes[0]
	was, is := r.c.Ohms(p[0], p[1]), graphs.NewCircuit(r.truth, nil).Ohms(p[0], p[1])
	if m.kind == "short" {
		return was > 4
	}
	return is > was+1.5
}

func (r *trialRun) usable(t int) bool {
	kind := r.c.Nets().Kind(t)
	return !kind.Mains() && kind != graphs.NetEarth
}

func (r *trialRun) try(kind string) (mistake, bool) {
	m := mistake{kind: kind, visits: map[int]bool{}}
	element := r.random.IntN(len(r.c.Elements))
	e := r.c.Elements[element]
	if !e.Joins() || !r.usable(e.A) || e.A == e.B {
		return m, false
	}
	isWire := e.Kind == graphs.Wire
	m.visits[e.A], m.visits[e.B] = true, true
	switch kind {
	case "open wire", "high wire", "open link", "high link":
		if isWire != (kind == "open wire" || kind == "high wire") {
			return m, false
		}
		m.probes = r.around(e.A, e.B, element)
		m.marks = []string{r.c.Ref(e.A).String(), r.c.Ref(e.B).String()}
		ohms := 2 + 28*r.random.Float64()
		m.ohms = kind[:4] == "high"
		if isWire {
			wire := r.drawn.Wires[e.Row]
			if now, there := r.truth.Wire(wire.Name); !there || now != wire {
				return m, false
			}
			m.wires, m.marks = []string{wire.Name}, nil
			other := wire
			other.Removed = kind == "open wire"
			if m.ohms {
				mid := r.resistor(ohms)
				other.To = mid[0]
				r.edit(r.truth, model.Change{After: model.Wire{Name: "Z" + wire.Name, From: mid[1], To: wire.To, Basis: model.BasisPlanned}})
			}
			r.edit(r.truth, model.Change{Before: wire, After: other})
			return m, true
		}
		link := r.drawn.Links[e.Row]
		if len(r.c.Incident(e.A)) < 2 || len(r.c.Incident(e.B)) < 2 {
			return m, false // nothing leads on: not worth a reading
		}
		if r.truth.Row(link.Table(), link.ID()) != model.Row(link) {
			return m, false
		}
		r.edit(r.truth, model.Change{Before: link})
		if m.ohms {
			r.edit(r.truth, model.Change{After: model.Link{Device: link.Device, From: link.From, To: link.To, Kind: model.LinkResistance, Value: model.Known(ohms)}})
		}
		return m, true
	case "short":
		a, b := e.A, r.otherMark(e.A)
		nets := r.c.Nets()
		if b < 0 || nets.Of[a] == nets.Of[b] || !r.usable(b) || len(nets.Net(a).Wires) == 0 || len(nets.Net(b).Wires) == 0 {
			return m, false
		}
		for _, e := range r.c.Elements { // a contact that is noted open there and is not reads the same
			if e.Kind == graphs.Contact && !e.Present && (nets.Of[e.A] == nets.Of[a] && nets.Of[e.B] == nets.Of[b] || nets.Of[e.A] == nets.Of[b] && nets.Of[e.B] == nets.Of[a]) {
				return m, false
			}
		}
		m.visits = map[int]bool{a: true, b: true}
		m.nets = [2]string{nets.Name(a), nets.Name(b)}
		m.ohms = true
		m.probes = [][2]int{{a, b}}
		for _, ends := range [2][2]int{{a, b}, {b, a}} {
			for i, id := range r.c.Incident(ends[0]) {
				if far := r.c.Far(int(id), ends[0]); r.c.Elements[id].Joins() && i < 3 {
					m.probes = append(m.probes, [2]int{far, ends[1]}, [2]int{far, ends[0]})
				}
			}
		}
		r.edit(r.truth, model.Change{After: model.Wire{Name: fmt.Sprintf("ZS%d", len(r.truth.Wires)), From: r.c.Ref(a), To: r.c.Ref(b), Basis: model.BasisPlanned}})
		return m, true
	default:
		return r.swap(m, element)
	}
}

func (r *trialRun) swap(m mistake, element int) (mistake, bool) {
	e, nets := r.c.Elements[element], r.c.Nets()
	if e.Kind != graphs.Wire {
		return m, false
	}
	a := e.A
	farA := e.B
	b := r.otherMark(a)
	if b < 0 || nets.Of[b] == nets.Of[a] || !r.usable(b) {
		return m, false
	}
	for _, id := range r.c.Incident(b) {
		second := r.c.Elements[id]
		farB := r.c.Far(int(id), b)
		if second.Kind != graphs.Wire || !second.Present || int(id) == element || farB == a || farB == farA {
			continue
		}
		one, two := r.drawn.Wires[e.Row], r.drawn.Wires[second.Row]
		if now, _ := r.truth.Wire(one.Name); now != one {
			return m, false
		}
		if now, _ := r.truth.Wire(two.Name); now != two {
			return m, false
		}
		oneMoved, twoMoved := moveEnd(one, r.c.Ref(a), r.c.Ref(b)), moveEnd(two, r.c.Ref(b), r.c.Ref(a))
		r.edit(r.truth, model.Change{Before: one, After: oneMoved}, model.Change{Before: two, After: twoMoved})
		m.wires = []string{one.Name, two.Name}
		m.visits = map[int]bool{a: true, b: true, farA: true, farB: true}
		m.ohms = true
		m.probes = append([][2]int{{farA, a}, {farB, b}, {farA, b}, {farB, a}}, r.around(farA, a, element)...)
		m.probes = append(m.probes, r.around(farB, b, int(id))...)
		return m, true
	}
	return m, false
}

func moveEnd(w model.Wire, from, to model.TerminalRef) model.Wire {
	if w.From == from {
		w.From = to
	} else {
		w.To = to
	}
	return w
}

// otherMark returns another terminal of a terminal's device, -1 if there is
// none.
func (r *trialRun) otherMark(t int) int {
	device := r.drawn.Terminals[t].Device
	marks := r.drawn.Marks(device)
	mark := marks[r.random.IntN(len(marks))]
	other, _ := r.drawn.TerminalIndex(model.TerminalRef{Device: device, Mark: mark})
	if other == t {
		return -1
	}
	return other
}

// resistor adds a device of two terminals to the truth.
func (r *trialRun) resistor(ohms float64) [2]model.TerminalRef {
	ref := fmt.Sprintf("ZZ%d", len(r.truth.Devices))
	r.edit(r.truth, model.Change{After: model.Device{Ref: ref, Health: model.HealthUnknown}},
		model.Change{After: model.Terminal{Device: ref, Mark: "1"}}, model.Change{After: model.Terminal{Device: ref, Mark: "2"}},
		model.Change{After: model.Link{Device: ref, From: "1", To: "2", Kind: model.LinkResistance, Value: model.Known(ohms)}})
	return [2]model.TerminalRef{{Device: ref, Mark: "1"}, {Device: ref, Mark: "2"}}
}

// namedBy says whether a finding names the mistake as its culprit.
func (m mistake) namedBy(f Finding) bool {
	switch m.kind {
	case "open wire":
		return f.Rule == nameOpen && len(f.Wires) > 0 && f.Wires[0] == m.wires[0]
	case "open link":
		return f.Rule == nameOpen && len(f.Terminals) > 1 && slices.Contains(m.marks, f.Terminals[0]) && slices.Contains(m.marks, f.Terminals[1])
	case "high wire":
		return f.Rule == nameHighResistance && len(f.Wires) > 0 && f.Wires[0] == m.wires[0]
	case "high link":
		return f.Rule == nameHighResistance && len(f.Terminals) > 1 && slices.Contains(m.marks, f.Terminals[0]) && slices.Contains(m.marks, f.Terminals[1])
	case "swapped":
		return f.Rule == nameSwapped && len(f.Wires) > 1 && slices.Contains(m.wires, f.Wires[0]) && slices.Contains(m.wires, f.Wires[1])
	default:
		return joinRule(f.Rule) && slices.Contains(f.Nets, m.nets[0]) && slices.Contains(f.Nets, m.nets[1])
	}
}
