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

var ruleVoltageDrop = Rule{
	Name:  "voltage-drop",
	Title: "More drop out and back than the limit",
	Why: "Copper eats volts in proportion to the current, out and back. A load at the end of thin or long wire sags when it runs while the supply reads right. " +
		"The rule lets every load draw its load_a with every rail at its volts, and compares what is lost in both halves with drop_limit_percent of the load's own volts " +
		"(by default 3 %, as marine tables have it for critical loads and NFPA 70 recommends for a branch). Wires without size or length cost nothing, " +
		"and a load whose loop is open draws nothing. Loads behind the wire that eats the most are one finding.",
	Check: checkVoltageDrop,
}

// sag is a load that gets too little, and where the volts are lost.
type sag struct {
	load        graphs.Load
	supply      graphs.Supply
	percent     float64 // of the load's volts, both halves
	zero        int     // where the load's current comes back: the supply's return, or that of the lowest it is stacked on
	source      float64 // V from there to the rail
	plus, minus float64 // V lost on the way out and on the way back
	path        []lossy // of the worst of a group
}

// lossy is an element on the way of a load, with the volts it eats.
type lossy struct {
	element int
	volts   float64
}

func checkVoltageDrop(b *Analysis) []Finding {
	w := newWiring(b)
	op := b.AsIntended.Operate(graphs.LoadsAsCurrents)
	var sags []sag
	for i, load := range b.Parts.Loads {
		if one, found := w.measure(op, load); found && op.Drawing[i] && !b.ailsBeyondLow(i) && one.percent > b.Settings.DropLimitPercent*(1+1e-9) {
			sags = append(sags, one)
		}
	}
	if len(sags) == 0 {
		return nil
	}
	out, back := w.waysFrom(true), w.waysFrom(false)
	mostOut, mostBack := mostEaten(op, out), mostEaten(op, back)
	byEater := map[int][]sag{}
	for _, one := range sags {
		eater := mostOut[one.load.Feed]
		if home := mostBack[w.returnOf(op, one.load)]; home.volts > eater.volts {
			eater = home
		}
		byEater[eater.element] = append(byEater[eater.element], one)
	}
	var findings []Finding
	for _, eater := range sortedKeys(byEater) {
		group := byEater[eater]
		slices.SortFunc(group, func(x, y sag) int {
			return cmp.Or(cmp.Compare(y.percent, x.percent), model.CompareRefs(w.c.Ref(x.load.Feed), w.c.Ref(y.load.Feed)))
		})
		worst := &group[0]
		worst.path = append(waysLosses(op, out, worst.load.Feed), waysLosses(op, back, w.returnOf(op, worst.load))...)
		findings = append(findings, w.dropFinding(op, eater, group))
	}
	slices.SortFunc(findings, func(x, y Finding) int { return model.Compare(x.Message, y.Message) })
	return findings
}

// measure reads a load's drop off the operating point; false where the map does
// not tell or the loop is open.
func (w *wiring) measure(op *graphs.OperatingPoint, load graphs.Load) (sag, bool) {
	back := w.returnOf(op, load)
	if !load.Volts.Known || load.Volts.Value == 0 || load.Amps.Or(0) <= 0 || back < 0 {
		return sag{}, false
	}
	for _, at := range w.atRest(w.net(load.Feed)) {
		supply := w.b.Parts.Supplies[at]
		zeros := supply.Returns
		if ground, _, stacked := w.b.stackedOn(load.Returns, at); stacked {
			zeros = w.b.Grounds[ground].Returns
		}
		for _, zero := range zeros {
			if op.Island[supply.Rail] != op.Island[load.Feed] || op.Island[zero] != op.Island[back] {
				continue
			}
			sign := 1.0
			if load.Volts.Value < 0 {
				sign = -1
			}
			one := sag{
				load: load, supply: supply, zero: zero, source: sign * (op.Volts[supply.Rail] - op.Volts[zero]),
				plus:  sign * (op.Volts[supply.Rail] - op.Volts[load.Feed]),
				minus: sign * (op.Volts[back] - op.Volts[zero]),
			}
			one.percent = 100 * (one.plus + one.minus) / math.Abs(load.Volts.Value)
			return one, !math.IsNaN(one.percent)
		}
	}
	return sag{}, false
}

// returnOf returns the return of a load that stands in its feed's island, -1
// if none does.
func (w *wiring) returnOf(op *graphs.OperatingPoint, load graphs.Load) int {
	for _, t := range load.Returns {
		if op.Island[t] >= 0 && op.Island[t] == op.Island[load.Feed] && !math.IsNaN(op.Volts[t]) {
			return t
		}
	}
	return -1
}

// waysFrom finds, for every terminal, the step towards the nearest rail (or the
// nearest supply's return) over metal and the drivers that are on.
func (w *wiring) waysFrom(rails bool) []step {
	none := step{noElement, -1}
	towards := make([]step, len(w.c.Machine.Terminals))
	for t := range towards {
		towards[t] = none
	}
	var queue []int
	seen := make([]bool, len(towards))
	visit := func(t int, by step) {
		if !seen[t] {
			seen[t], towards[t] = true, by
			queue = append(queue, t)
		}
	}
	for _, supply := range w.b.Parts.Supplies {
		if rails {
			visit(supply.Rail, none)
			continue
		}
		for _, t := range supply.Returns {
			visit(t, none)
		}
	}
	outputs := map[int][]int{} // by the driver's terminal that its output leads to
	for _, driver := range w.b.Parts.Drivers {
		ends := driver.Returns
		if rails {
			ends = driver.Feeds
		}
		for _, t := range ends {
			outputs[t] = append(outputs[t], driver.Drive)
		}
	}
	for ; len(queue) > 0; queue = queue[1:] {
		t := queue[0]
		for _, id := range w.c.Incident(t) {
			if w.c.Elements[id].Joins() {
				visit(w.c.Far(int(id), t), step{int(id), t})
			}
		}
		for _, drive := range outputs[t] {
			visit(drive, step{noElement, t})
		}
	}
	return towards
}

// waysLosses lists what each element on the way from a terminal eats.
func waysLosses(op *graphs.OperatingPoint, towards []step, t int) []lossy {
	var path []lossy
	for ; towards[t].far >= 0; t = towards[t].far {
		if piece := lossOf(op, towards, t); piece.volts > 0 {
			path = append(path, piece)
		}
	}
	return path
}

// lossOf is what the first step from a terminal eats.
func lossOf(op *graphs.OperatingPoint, towards []step, t int) lossy {
	by := towards[t]
	if by.element == noElement || math.IsNaN(op.Volts[t]-op.Volts[by.far]) {
		return lossy{element: -1}
	}
	return lossy{by.element, math.Abs(op.Volts[t] - op.Volts[by.far])}
}

// mostEaten finds for every terminal what eats the most on its way, the nearest of
// equals. Each stretch is walked once, however many loads hang behind it.
func mostEaten(op *graphs.OperatingPoint, towards []step) []lossy {
	most, done := make([]lossy, len(towards)), make([]bool, len(towards))
	var way []int
	for t := range towards {
		way = way[:0]
		for ; !done[t] && towards[t].far >= 0; t = towards[t].far {
			way = append(way, t)
		}
		if !done[t] {
			most[t], done[t] = lossy{element: -1}, true
		}
		for _, at := range slices.Backward(way) {
			most[at], done[at] = most[towards[at].far], true
			if piece := lossOf(op, towards, at); piece.volts > 0 && piece.volts >= most[at].volts {
				most[at] = piece
			}
		}
	}
	return most
}

func (w *wiring) dropFinding(op *graphs.OperatingPoint, eater int, group []sag) Finding {
	worst := group[0]
	back := w.returnOf(op, worst.load)
	zero := worst.zero
	d := w.b.draft("voltage-drop", Warning)
	if eater >= 0 {
		d.blame(eater)
	}
	slices.SortStableFunc(worst.path, func(x, y lossy) int { return cmp.Compare(y.volts, x.volts) })
	for _, piece := range worst.path {
		if piece.volts > 0.1*(worst.plus+worst.minus) {
			d.blame(piece.element)
		}
	}
	var others []string
	for at, one := range group {
		d.blameTerminals(one.load.Feed).nets(one.load.Feed)
		if at > 0 {
			others = append(others, fmt.Sprintf("%s %s %%", w.ref(one.load.Feed), model.MeterFigures(one.percent)))
		}
	}
	if back >= 0 {
		d.nets(back)
	}
	d.headed("%s loses too many volts on its wires", worst.load.Device)
	var text strings.Builder
	if left := worst.source - worst.plus - worst.minus; left*worst.source <= 0 {
		// Wires that cannot carry the current leave no volts; the sum would go on
		// below 0, which no meter shows.
		fmt.Fprintf(&text, "%s gets next to nothing of the %s V at %s: the wires on its way, out and back, cannot carry the current that it is noted with.",
			w.ref(worst.load.Feed), model.MeterFigures(worst.source), w.ref(worst.supply.Rail))
		if eater >= 0 {
			fmt.Fprintf(&text, " %s is the worst of them.", w.elementText(eater))
		}
		eater = -1
	} else {
		fmt.Fprintf(&text, "%s gets %s V of the %s V at %s: %s V are lost on the way out and %s V on the way back, %s %% of its %s V where %s %% is the limit.",
			w.ref(worst.load.Feed), model.MeterFigures(left), model.MeterFigures(worst.source), w.ref(worst.supply.Rail),
			model.MeterFigures(worst.plus), model.MeterFigures(worst.minus), model.MeterFigures(worst.percent), worst.load.Volts,
			model.MeterFigures(w.b.Settings.DropLimitPercent))
	}
	if eater >= 0 {
		fmt.Fprintf(&text, " %s eats the most: %s V.", w.elementText(eater), model.MeterFigures(eaten(worst.path, eater)))
	}
	if len(others) > 0 {
		fmt.Fprintf(&text, " Behind it too: %s.", judge.ListText(others, 6))
	}
	share := (worst.plus + worst.minus) / (w.b.Settings.DropLimitPercent / 100 * math.Abs(worst.load.Volts.Value))
	repair := fmt.Sprintf("Then thicker or shorter wire, the return as well as the feed: about %s times the copper brings it to the limit; or feed from both ends.", model.MeterFigures(math.Ceil(share*10)/10))
	if tooLive(worst.source) {
		return d.say(1, text.String(), "Do not probe this live. Compare size and length of the wires with the map, plug out. "+repair)
	}
	advice := fmt.Sprintf("With the load running, DC volts, one hand, black clipped first: %s to %s shows the + half (expect %s V), %s to %s the - half (expect %s V). A half that reads more has a bad joint on its way. ",
		w.ref(worst.supply.Rail), w.ref(worst.load.Feed), model.MeterFigures(worst.plus), w.ref(back), w.ref(zero), model.MeterFigures(worst.minus))
	return d.say(1, text.String(), advice+repair)
}

func eaten(path []lossy, element int) float64 {
	for _, piece := range path {
		if piece.element == element {
			return piece.volts
		}
	}
	return 0
}

// elementText names a wire with its size and length, a link by its place.
func (w *wiring) elementText(id int) string {
	e := w.c.Elements[id]
	if e.Kind != graphs.Wire {
		return w.b.elementName(id)
	}
	wire := w.b.Machine.Wires[e.Row]
	return fmt.Sprintf("%s (%s, %s m)", wire.Name, wire.Gauge, wire.LengthMetres)
}
