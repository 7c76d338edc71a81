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
		"a 24 V solenoid of 12 ohm takes a 5 V board of 50 ohm to -15.3 V. No meter shows it beforehand, so the rule opens every wire, link and joint of the returns in turn, as whatif does, " +
		"and warns of those whose loss reverses a device's volts or lifts them above its limit. " +
		"A load of which another finding says that it hangs wrong counts as drawing nothing. The whole machine counts as on: a contact that is open at rest is taken as closed, but for the second throw of a changeover and for one that would join nets that must not meet. Pieces whose loss does the same are one finding, and so are those of one bar.",
	Check: checkCriticalReturn,
}

// critical is the pieces of returns whose loss does the same harm.
type critical struct {
	pieces    []int // wires and links
	joints    []int // terminals
	hurts     []hurt
	pushes    []int   // places in Parts.Loads: what drives the harm
	near, far int     // ends of the pieces: on the supply's side, and beyond
	volts     float64 // of far against near; NaN: nothing fixes them
}

// hurt is a load and the volts that it sees.
type hurt struct {
	load  int // place in Parts.Loads
	volts float64
}

func checkCriticalReturn(b *Analysis) []Finding {
	w := newWiringOf(b, b.On())
	var findings []Finding
	for _, group := range w.criticalReturns(newLosses(b, b.ailingLoads()...)) {
		findings = append(findings, w.criticalFinding(group))
	}
	slices.SortStableFunc(findings, func(x, y Finding) int { return model.Compare(x.Message, y.Message) })
	return findings
}

// criticalReturns opens every piece of the returns, and every joint of which no
// single piece is critical. Cost: one loss for each chain of pieces.
func (w *wiring) criticalReturns(l *losses) []critical {
	var found []critical
	harmful := map[int]bool{}
	open := func(group critical, elements ...int) {
		if group.hurts, group.pushes = w.harm(l, elements); len(group.hurts) == 0 {
			return
		}
		for _, id := range group.pieces {
			harmful[id] = true
		}
		same := slices.IndexFunc(found, func(other critical) bool { return sameHarm(group, other) })
		if same < 0 {
			found = append(found, group)
			return
		}
		found[same].pieces = append(found[same].pieces, group.pieces...)
		found[same].joints = append(found[same].joints, group.joints...)
	}
	for _, chain := range l.running.Chains(w.returnPieces()) {
		open(critical{pieces: chain}, chain[0])
	}
	for t := range w.b.Machine.Terminals {
		if incident := w.jointPieces(t); len(incident) > 0 && !slices.ContainsFunc(incident, func(id int) bool { return harmful[id] }) {
			open(critical{joints: []int{t}}, incident...)
		}
	}
	for i := range found {
		w.findEnds(l, &found[i])
	}
	return w.mergeBars(found)
}

// sameHarm says whether two losses do the same to the same loads.
func sameHarm(x, y critical) bool {
	return (len(x.joints) > 0) == (len(y.joints) > 0) && slices.EqualFunc(x.hurts, y.hurts, func(h, other hurt) bool {
		return h.load == other.load && model.MeterFigures(h.volts) == model.MeterFigures(other.volts)
	})
}

// mergeBars puts the links of bars that are critical, each in its way, into one
// finding with what is critical besides on the same bar, or leads to it and hurts
// the same loads and maybe more: how a bar is drawn, as a chain or a star, is no
// matter of the machine.
func (w *wiring) mergeBars(list []critical) []critical {
	solid := func(id int) bool { return w.c.Elements[id].Kind == graphs.Solid }
	bar := func(group critical) bool {
		return len(group.pieces) > 0 && !slices.ContainsFunc(group.pieces, func(id int) bool { return !solid(id) })
	}
	meets := func(group critical, id int, alike bool) bool {
		return slices.ContainsFunc(group.pieces, func(other int) bool {
			e, own := w.c.Elements[other], w.b.device(w.c.Elements[id].A)
			return (alike || solid(other)) && (w.b.device(e.A) == own || w.b.device(e.B) == own)
		})
	}
	slices.SortStableFunc(list, func(x, y critical) int { return compareBools(bar(x), bar(y)) })
	var merged []critical
	for _, group := range list {
		at := -1
		if bar(group) {
			at = slices.IndexFunc(merged, func(other critical) bool {
				return slices.ContainsFunc(group.pieces, func(id int) bool { return meets(other, id, hurtsAll(other, group)) })
			})
		}
		if at < 0 {
			merged = append(merged, group)
			continue
		}
		into := &merged[at]
		into.pieces = append(into.pieces, group.pieces...)
		into.hurts = append(into.hurts, group.hurts...)
		w.worstFirst(into.hurts)
		seen := map[int]bool{}
		into.hurts = slices.DeleteFunc(into.hurts, func(h hurt) bool {
			again := seen[h.load]
			seen[h.load] = true
			return again
		})
	}
	return merged
}

// hurtsAll says whether a loss hurts all loads that another one hurts.
func hurtsAll(x, y critical) bool {
	return !slices.ContainsFunc(y.hurts, func(h hurt) bool {
		return !slices.ContainsFunc(x.hurts, func(other hurt) bool { return other.load == h.load })
	})
}

// returnPieces lists the metal of the returns: of every net with a supply's
// return, and of every other one that is no rail and through which a load
// returns.
func (w *wiring) returnPieces() []int {
	back := map[int]bool{}
	for _, load := range w.b.Parts.Loads {
		for _, t := range load.Returns {
			back[w.net(t)] = len(w.rails[w.net(t)]) == 0
		}
	}
	var pieces []int
	for id, e := range w.c.Elements {
		if e.Joins() && e.Kind != graphs.Joined && (back[w.net(e.A)] || len(w.returns[w.net(e.A)]) > 0) {
			pieces = append(pieces, id)
		}
	}
	return pieces
}

// jointPieces lists what hangs loose when a terminal of a return lets go: a
// screw of a block, a contact of a plug. None where that is one wire's loss.
func (w *wiring) jointPieces(t int) []int {
	if role := w.b.role(t); role != model.RolePass && role != model.RoleUnknown || len(w.returns[w.net(t)]) == 0 || len(w.wiresAt(t)) < 2 {
		return nil
	}
	var incident []int
	for _, id := range w.c.Incident(t) {
		if w.c.Elements[id].Joins() {
			incident = append(incident, int(id))
		}
	}
	return incident
}

// harm opens elements and lists the loads that this destroys and of which
// nothing else is wrong, the worst first, and those whose current does it, the
// heaviest first.
func (w *wiring) harm(l *losses, elements []int) (hurts []hurt, pushes []int) {
	after := l.lose(elements...)
	loads := w.b.Parts.Loads
	for _, i := range after.Touched() {
		was, is := feedVolts(l.whole, loads[i]), feedVolts(after, loads[i])
		switch {
		case !is.Known || w.b.Reported(i) || was.Known && math.Abs(is.Value-was.Value) <= noticeable(loads[i]):
		case severityOf(loads[i], is) == Fault:
			hurts = append(hurts, hurt{i, is.Value})
		case is.Value != 0 && w.siemens(loads[i]) > 0:
			pushes = append(pushes, i)
		}
	}
	w.worstFirst(hurts)
	slices.SortFunc(pushes, func(x, y int) int {
		return cmp.Or(cmp.Compare(w.siemens(loads[y]), w.siemens(loads[x])), model.CompareRefs(w.c.Ref(loads[x].Feed), w.c.Ref(loads[y].Feed)))
	})
	return hurts, pushes
}

// findEnds sorts the pieces and finds which of their ends stays with the
// supplies, and how far the one with the worst hurt load goes from it.
func (w *wiring) findEnds(l *losses, group *critical) {
	slices.SortFunc(group.pieces, w.b.compareElements)
	slices.SortFunc(group.joints, func(x, y int) int { return model.CompareRefs(w.c.Ref(x), w.c.Ref(y)) })
	open := slices.Clone(group.pieces)
	ends := slices.Clone(group.joints)
	for _, id := range group.pieces {
		ends = append(ends, w.c.Elements[id].A, w.c.Elements[id].B)
	}
	for _, t := range group.joints {
		open = append(open, w.jointPieces(t)...)
	}
	worst := w.b.Parts.Loads[group.hurts[0].load]
	root := w.rootOf(w.net(ends[0]))
	if root < 0 {
		root = ends[0]
	}
	after := l.lose(open...)
	nearest := func(to int) int {
		slices.SortFunc(ends, func(x, y int) int { return model.CompareRefs(w.c.Ref(x), w.c.Ref(y)) })
		best, least := to, math.Inf(1)
		for _, t := range ends {
			if volts, known := after.Between(t, to); known && math.Abs(volts) < least-1e-9 {
				best, least = t, math.Abs(volts)
			}
		}
		return best
	}
	group.near, group.far = nearest(root), nearest(worst.Returns[0])
	group.volts = math.NaN()
	if volts, known := after.Between(group.far, group.near); known {
		group.volts = volts
	}
}

// rootOf picks the supply's return from which a net is looked at, that of the
// strongest supply; -1: it holds none.
func (w *wiring) rootOf(net int) int {
	best, amps := -1, math.Inf(-1)
	for _, i := range w.returns[net] {
		supply := w.b.Parts.Supplies[i]
		for _, t := range supply.Returns {
			if w.net(t) != net {
				continue
			}
			limit := supply.LimitAmps.Or(0)
			if limit > amps || limit == amps && model.CompareRefs(w.c.Ref(t), w.c.Ref(best)) < 0 {
				best, amps = t, limit
			}
		}
	}
	return best
}

// siemens returns a load's conductance: load_a over its volts, by default its
// device's resistance link; 0 where neither is known.
func (w *wiring) siemens(load graphs.Load) float64 {
	if load.Amps.Known {
		if load.Volts.Or(0) == 0 {
			return 0
		}
		return load.Amps.Value / math.Abs(load.Volts.Value)
	}
	for _, t := range load.Returns {
		for _, id := range w.c.Incident(load.Feed) {
			e := w.c.Elements[id]
			if e.Kind == graphs.Resistance && e.Present && e.Ohms > 0 && w.c.Far(int(id), load.Feed) == t {
				return 1 / e.Ohms
			}
		}
	}
	return 0
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

func (w *wiring) criticalFinding(group critical) Finding {
	loads := w.b.Parts.Loads
	d := w.b.draft("critical-return", Warning)
	wires, links := w.split(group.pieces)
	d.blame(wires...)
	if len(wires) == 0 && len(group.joints) == 0 {
		d.blame(links...)
	} else {
		d.elements(links...)
	}
	d.blameTerminals(group.joints...)
	d.headed("%s: no other 0 V path than %s", w.b.someOf(group.hurts), w.shortPieces(group))
	var sees []string
	for _, h := range group.hurts {
		d.blameTerminals(loads[h.load].Feed)
		sees = append(sees, fmt.Sprintf("%s (made for %s) would see %s V", w.ref(loads[h.load].Feed), madeFor(loads[h.load]), model.MeterFigures(h.volts)))
	}
	d.nets(group.near)
	var heavy []string
	for _, i := range group.pushes {
		d.nets(loads[i].Feed)
		heavy = append(heavy, fmt.Sprintf("%s (%s V)", loads[i].Device, model.MeterFigures(loads[i].Volts.Or(0))))
	}
	var text strings.Builder
	fmt.Fprintf(&text, "If %s opens, ", w.piecesText(group))
	if !math.IsNaN(group.volts) {
		fmt.Fprintf(&text, "the 0 V beyond it goes to about %s V: ", model.MeterFigures(group.volts))
	}
	fmt.Fprintf(&text, "%s.", judge.ListText(sees, 5))
	if len(heavy) > 0 {
		fmt.Fprintf(&text, " What pushes: %s, on the same return.", judge.ListText(eachOnce(heavy), 5))
	}
	advice := fmt.Sprintf("Power off, plug out, all USB and signal leads out: ohms from %s to %s, under 0.2 ohm and steady while the wiring is moved. "+
		"Then double that return by a second way, or bring the heavy loads' return home on a wire of its own, apart from the logic's.",
		w.ref(group.near), w.ref(group.far))
	return d.say(1, text.String(), advice)
}

// shortPieces names the pieces of a path as a headline does.
func (w *wiring) shortPieces(group critical) string {
	names := make([]string, 0, len(group.pieces)+len(group.joints))
	for _, id := range group.pieces {
		names = append(names, w.b.elementName(id))
	}
	for _, t := range group.joints {
		names = append(names, w.ref(t))
	}
	return judge.ListText(names, 2)
}

// someOf names the devices that are hurt, as a headline does.
func (b *Analysis) someOf(hurts []hurt) string {
	var devices []string
	for _, h := range hurts {
		devices = append(devices, b.Parts.Loads[h.load].Device)
	}
	return judge.ListText(eachOnce(devices), 2)
}

// split divides pieces into wires and links; the order stays. Wires and screws
// fail far more often than the bar of a block does.
func (w *wiring) split(pieces []int) (wires, links []int) {
	for _, id := range pieces {
		if w.c.Elements[id].Kind == graphs.Wire {
			wires = append(wires, id)
		} else {
			links = append(links, id)
		}
	}
	return wires, links
}

// piecesText names what is critical, wires first; several links of one device
// are its bar.
func (w *wiring) piecesText(group critical) string {
	wires, links := w.split(group.pieces)
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

func compareBools(x, y bool) int {
	switch {
	case x == y:
		return 0
	case y:
		return -1
	}
	return 1
}
