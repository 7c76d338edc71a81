package faults

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

var ruleCriticalReturn = Rule{
	Name:  "critical-return",
	Title: "A return whose loss puts reversed or excessive volts on a device",
	Why: "When loads of different rails share one return and it opens, the heavier load pulls the shared 0 V up to its own rail, and the lighter one sees volts of the wrong sign: " +
		"a 24 V solenoid of 12 ohm takes a 5 V board of 50 ohm to -15.3 V. No meter shows it beforehand, so the rule opens every wire, link and joint of the returns in turn, " +
		"and warns of those whose loss reverses a device's volts or lifts them above its limit. " +
		"The whole machine counts as on: a contact that is open at rest is taken as closed, but for the second throw of a changeover and for one that would join nets that must not meet. Pieces of one chain whose loss does the same are one finding.",
	Check: checkCriticalReturn,
}

// critical is the pieces of one chain whose loss makes the same island.
type critical struct {
	rt     *returnTree
	node   int   // the uppermost: the island is its subtree
	chain  []int // wires and links, from the supply's side
	joints []int // terminals of blocks
	volts  float64
}

func checkCriticalReturn(b *Bench) []Finding {
	w := newWiringOf(b, b.On())
	var groups []critical
	for _, rt := range w.returnTrees() {
		groups = append(groups, w.criticalPieces(rt)...)
	}
	var findings []Finding
	sight := newConfirmation(b, len(groups))
	for _, group := range groups {
		hurt := w.hurtBy(group)
		if exact, asked := sight.hurt(group); asked {
			hurt = exact
		}
		if len(hurt) > 0 {
			findings = append(findings, w.criticalFinding(group, hurt))
		}
	}
	slices.SortStableFunc(findings, func(x, y Finding) int { return model.Compare(x.Message, y.Message) })
	return findings
}

// criticalPieces finds the elements and joints of a return net whose loss does
// harm, those with the same island in one group. The links of a bar or block
// belong to the piece that leads to it: how a bar is drawn, as a chain or a
// star, is no matter of the machine.
func (w *wiring) criticalPieces(rt *returnTree) []critical {
	var groups []critical
	groupOf := make([]int, len(rt.at)) // of the nearest critical node at or above; -1: none
	nodeOf := make([]int, len(rt.at))
	groupOf[0], nodeOf[0] = -1, -1
	for node := 1; node < len(rt.at); node++ {
		up := rt.up[node]
		groupOf[node], nodeOf[node] = groupOf[up], nodeOf[up]
		id := rt.via[node]
		piece := rt.bridge(node) && id >= 0
		joint := !piece && rt.hangs(node) && id >= 0 && w.isJoint(rt.at[up])
		if !piece && !joint || !rt.harmful(node) {
			continue
		}
		above := nodeOf[up]
		bar := above == up && piece && w.c.Elements[id].Kind == graphs.Solid // one metal with the piece above
		if above < 0 || !bar && !rt.sameLoss(above, node) {
			volts, _ := rt.islandVolts(node)
			groups = append(groups, critical{rt: rt, node: node, volts: volts})
			groupOf[node] = len(groups) - 1
		}
		nodeOf[node] = node
		group := &groups[groupOf[node]]
		if piece {
			group.chain = append(group.chain, id)
		} else if !slices.Contains(group.joints, rt.at[up]) {
			group.joints = append(group.joints, rt.at[up])
		}
	}
	return groups
}

// isJoint says whether a terminal is a place where conductors meet: a screw of
// a block, a contact of a plug.
func (w *wiring) isJoint(terminal int) bool {
	role := w.b.role(terminal)
	return role == model.RolePass || role == model.RoleUnknown
}

// sameLoss says whether the same loads are cut off by two nodes' elements.
func (rt *returnTree) sameLoss(above, below int) bool {
	near := func(x, y float64) bool { return math.Abs(x-y) <= 1e-9*(1+math.Abs(x)) }
	return rt.count[above] == rt.count[below] && near(rt.conductance[above], rt.conductance[below]) &&
		near(rt.push[above], rt.push[below]) && rt.floor[above] == rt.floor[below] && rt.ceiling[above] == rt.ceiling[below]
}

// hurt is a load and the volts that it sees.
type hurt struct {
	load  int // place in Parts.Loads
	volts float64
}

// hurtBy lists the loads that a loss destroys, the worst first, by the island's
// sum.
func (w *wiring) hurtBy(group critical) []hurt {
	var found []hurt
	for _, c := range group.rt.across(group.node) {
		if c.load < 0 {
			continue
		}
		volts := c.volts - group.volts
		if !group.rt.holds(group.node, c.at) {
			volts = c.volts + group.volts
		}
		if least, most := bearable(w.b.Parts.Loads[c.load], c.volts); volts < least || volts > most {
			found = append(found, hurt{c.load, volts})
		}
	}
	w.worstFirst(found)
	return found
}

// across lists what crosses a node's upward element.
func (rt *returnTree) across(node int) []crossing {
	var found []crossing
	for _, c := range rt.crossings {
		if rt.holds(node, c.at) != rt.holds(node, c.zero) {
			found = append(found, c)
		}
	}
	return found
}

func (w *wiring) worstFirst(list []hurt) {
	loads := w.b.Parts.Loads
	strain := func(h hurt) float64 {
		rated := math.Max(math.Abs(loads[h.load].Volts.Or(1)), 1e-3)
		// Steps of a millionth: equal strains differ by rounding, which hangs on the
		// order of rows. Of the logarithm, for there no strain of round numbers lies
		// between two steps.
		return math.Round(math.Log(math.Abs(h.volts-loads[h.load].Volts.Or(0))/rated) * 1e6)
	}
	slices.SortFunc(list, func(x, y hurt) int {
		return cmp.Or(cmp.Compare(strain(y), strain(x)), model.CompareRefs(w.c.Ref(loads[x.load].Feed), w.c.Ref(loads[y.load].Feed)))
	})
}

// confirmation checks the island's sum against the whole network, where that
// costs little: the sum knows neither copper nor what joins the island to
// nets that are neither rail nor return.
type confirmation struct {
	b      *Bench
	before *graphs.OperatingPoint
}

// The most terminals times groups for which the whole network is solved.
const mostConfirmed = 20_000

func newConfirmation(b *Bench, groups int) *confirmation {
	if groups == 0 || groups*len(b.Machine.Terminals) > mostConfirmed {
		return &confirmation{b: b}
	}
	return &confirmation{b: b, before: b.On().Operate(graphs.LoadsAsResistances)}
}

// hurt opens a group's first piece in the whole network; false where it was not
// asked.
func (s *confirmation) hurt(group critical) ([]hurt, bool) {
	if s.before == nil {
		return nil, false
	}
	var changes []graphs.ElementChange
	if len(group.chain) > 0 {
		changes = append(changes, graphs.ElementChange{Element: group.chain[0], Ohms: math.Inf(1)})
	} else {
		for _, id := range s.b.On().Incident(group.joints[0]) {
			changes = append(changes, graphs.ElementChange{Element: int(id), Ohms: math.Inf(1)})
		}
	}
	after := s.b.On().Operate(graphs.LoadsAsResistances, changes...)
	var found []hurt
	for i, load := range s.b.Parts.Loads {
		was, is := feedVolts(s.before, load), feedVolts(after, load)
		if is.Known && !s.b.Ailing(i) && severityOf(load, is) == Fault && (!was.Known || math.Abs(is.Value-was.Value) > noticeable(load)) {
			found = append(found, hurt{i, is.Value})
		}
	}
	(&wiring{b: s.b, c: s.b.Apart}).worstFirst(found)
	return found, true
}

func (w *wiring) criticalFinding(group critical, hurts []hurt) Finding {
	parts := w.b.Parts
	d := w.b.draft("critical-return", Warning)
	wires, links := w.split(group.chain)
	d.blame(wires...)
	if len(wires) == 0 && len(group.joints) == 0 {
		d.blame(links...)
	} else {
		d.elements(links...)
	}
	d.blameTerminals(group.joints...)
	var sees []string
	for _, h := range hurts {
		load := parts.Loads[h.load]
		d.blameTerminals(load.Feed)
		sees = append(sees, fmt.Sprintf("%s (made for %s) would see %s V", w.ref(load.Feed), madeFor(load), model.MeterFigures(h.volts)))
	}
	top := group.rt.at[group.rt.up[group.node]]
	d.nets(top)
	var pushes []crossing
	for _, c := range group.rt.across(group.node) {
		if c.load >= 0 && !slices.ContainsFunc(hurts, func(h hurt) bool { return h.load == c.load }) {
			pushes = append(pushes, c)
		}
	}
	slices.SortFunc(pushes, func(x, y crossing) int {
		return cmp.Or(cmp.Compare(y.siemens, x.siemens), model.CompareRefs(w.c.Ref(parts.Loads[x.load].Feed), w.c.Ref(parts.Loads[y.load].Feed)))
	})
	var heavy []string
	for _, c := range pushes {
		d.nets(parts.Loads[c.load].Feed)
		heavy = append(heavy, fmt.Sprintf("%s (%s V)", parts.Loads[c.load].Device, model.MeterFigures(c.volts)))
	}
	var text strings.Builder
	fmt.Fprintf(&text, "If %s opens, the 0 V beyond it goes to about %s V: %s.", w.chainText(group), model.MeterFigures(group.volts), judge.ListText(sees, 5))
	if len(heavy) > 0 {
		fmt.Fprintf(&text, " What pushes: %s, on the same return.", judge.ListText(eachOnce(heavy), 5))
	}
	island, star := group.rt.at[group.node], top
	advice := fmt.Sprintf("Power off, plug out, all USB and signal leads out: ohms from %s to %s, under 0.2 ohm and steady while the wiring is moved. "+
		"Then double that return by a second way, or bring the heavy loads' return home on a wire of its own, apart from the logic's.",
		w.ref(star), w.ref(w.deepest(group, island)))
	return d.say(1, text.String(), advice)
}

// deepest returns the terminal at the far end of a group's chain.
func (w *wiring) deepest(group critical, island int) int {
	if len(group.chain) == 0 {
		return island
	}
	e := w.c.Elements[group.chain[len(group.chain)-1]]
	if group.rt.place[e.A] > group.rt.place[e.B] {
		return e.A
	}
	return e.B
}

// split divides a chain into its wires and its links; the order stays. Wires
// and screws fail far more often than the bar of a block does.
func (w *wiring) split(chain []int) (wires, links []int) {
	for _, id := range chain {
		if w.c.Elements[id].Kind == graphs.Wire {
			wires = append(wires, id)
		} else {
			links = append(links, id)
		}
	}
	return wires, links
}

// chainText names the pieces of a chain, wires first; several links of one
// device are its bar.
func (w *wiring) chainText(group critical) string {
	wires, links := w.split(group.chain)
	var names []string
	for _, id := range wires {
		names = append(names, w.wireName(id))
	}
	for _, t := range group.joints {
		names = append(names, "the joint "+w.ref(t))
	}
	byDevice := map[string]int{}
	for _, id := range links {
		byDevice[w.b.device(w.c.Elements[id].A)]++
	}
	for _, id := range links {
		device := w.b.device(w.c.Elements[id].A)
		if byDevice[device] > 1 {
			names = append(names, "the bar of "+device)
		} else {
			names = append(names, w.b.Machine.Links[w.c.Elements[id].Row].Place())
		}
	}
	names = eachOnce(names)
	if len(names) > 1 {
		return "any of " + judge.ListText(names, 8)
	}
	return names[0]
}
