package book

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"bellout/app/drawing"
	"bellout/faults"
	"bellout/graphs"
	"bellout/model"
	"bellout/model/wording"
)

// makeBringUp prints the first power after a repair as stages, each with values at
// which to stop.
func makeBringUp(_ context.Context, f *facts, s *Sheet) error {
	b := &bringUp{facts: f, fl: newFlow(s, false), outputs: f.outputs()}
	b.fl.heading("Bring-up plan", 30)
	b.fl.caution("Whoever works on the mains side, on earth or on fixed wiring is licensed for it, and the local code goes before this plan. If a value lies outside its limits, or anything smells, hums or gets warm: off, plug out, find out why. Do not go on to the next stage.")
	b.first()
	b.isolate()
	b.cold()
	b.open()
	b.bare()
	b.plugs()
	b.rails()
	b.moving()
	return nil
}

type bringUp struct {
	*facts
	fl      *flow
	outputs []*output
	stage   int
}

func (b *bringUp) head(text string) {
	b.stage++
	b.fl.heading(fmt.Sprintf("%d  %s", b.stage, text), 18)
}

// step sets a line with a box to be ticked.
func (b *bringUp) step(text string) {
	fl := b.fl
	lines := drawing.Wrap(text, bodySize, 0, fl.width()-6, 12)
	fl.room(float64(len(lines)) * bodySize * lead)
	fl.page.tick(fl.left()+0.5, fl.y+bodySize+0.1, bodySize*0.9)
	for _, line := range lines {
		fl.page.text(fl.left()+6, fl.y+bodySize, bodySize, 0, line, fl.width()-6)
		fl.used(bodySize * lead)
	}
	fl.used(1)
}

// first says what stands in the way of any power.
func (b *bringUp) first() {
	var list []string
	for _, finding := range b.report.Findings {
		if finding.Severity != faults.Fault {
			continue
		}
		list = append(list, finding.Headline)
	}
	if len(list) > 0 {
		b.fl.caution(fmt.Sprintf("Not yet: %s open in the fault log (%s). Mend these and measure again first; volts below are those that are meant, not those that a fault makes.", wording.Count(len(list), "fault"), wording.Some(list, 8)))
	}
}

func (b *bringUp) isolate() {
	b.head("Isolate")
	iso := b.isolation()
	var inlets []string
	for _, d := range iso.inlets {
		inlets = append(inlets, b.called(d.Ref))
	}
	if len(inlets) == 0 {
		inlets = []string{"the mains plug, which the map does not hold"}
	}
	b.step("Plug out and in sight, or locked off: " + wording.Some(inlets, 6) + ".")
	if len(iso.switches) > 0 {
		b.step("Switch off as well: " + wording.Some(iso.switches, 8) + ". A switch, a door contact or software is not isolation.")
	}
	staying := b.bench.Staying()
	for i := range staying.Sources() {
		source := &staying.Sources()[i]
		if source.Battery {
			b.step(fmt.Sprintf("Disconnect battery %s as its maker says (%s); insulate the ends.", b.called(source.Device), staying.HowOff(source)))
		} else {
			b.step(fmt.Sprintf("Unplug %s, which has power of its own (%s).", b.called(source.Device), staying.HowOff(source)))
		}
	}
	b.step("Other sources: second plugs, a UPS, USB from a device with its own power. Unplug them.")
	b.step("Wait 5 minutes (common practice; some supplies need longer), then measure volts at each supply's output: go on below 10 V. Drain with a resistor, never with a tool.")
	for _, c := range b.charges() {
		words := fmt.Sprintf("%s, %s: ", b.called(c.device), c.place)
		if c.farads.Known {
			words += model.Figures(c.farads.Value*1e6) + " µF"
		}
		if j := c.joules(); j.Known {
			words += fmt.Sprintf(", %s at %s", amount(j, "J"), volts(c.volts))
		}
		if s := c.seconds(); s.Known {
			words += ", drains in about " + amount(s, "s") + " by the map"
		} else {
			words += ", nothing in the map drains it"
		}
		b.step(words + ": measure.")
	}
	b.step("Prove the meter on a known source, measure, prove it again.")
}

func (b *bringUp) cold() {
	b.head("Cold: ohms, with the plug out")
	if rest := b.bench.Staying().Everything(); rest != "" {
		b.fl.caution(rest)
	}
	b.step("Test record: no reading contradicts the map any more. Bonding sheet: earth from the plug's pin to all metal that can be touched, by a licensed person.")
	t := &table{grid: true, columns: []column{{title: "rail", bold: true}, {title: "red", mono: true}, {title: "black", mono: true}, {title: "expected by the map", most: 50}, {title: "stop at", most: 40}, {title: "Ω", fixed: 20}, {title: "ok", fixed: 9}}}
	for _, o := range b.outputs {
		if len(o.returns) == 0 {
			continue
		}
		for _, tips := range b.coldTips(o) {
			b.coldRow(t, o, tips[0], tips[1])
		}
	}
	b.fl.table(t)
}

func (b *bringUp) coldRow(t *table, o *output, red, black int) {
	p := b.bench.AsDrawn.Predict(red, black)
	expected := "OL, or climbing"
	switch {
	case math.IsInf(p.Ohms, 1) && p.LeastOhms < p.Ohms:
		expected = "not known: electronics on the rail"
	case !math.IsInf(p.Ohms, 1) && p.LeastOhms < p.Ohms:
		expected = "at most " + figure(p.Ohms, "Ω")
	case !math.IsInf(p.Ohms, 1):
		expected = figure(p.Ohms, "Ω")
	}
	stop := "a beep: below " + figure(b.settings.BeepBelowOhms, "Ω")
	if !math.IsInf(p.Ohms, 1) && p.Ohms < 2*b.settings.BeepBelowOhms {
		stop = "below half of that"
	}
	t.add(say(volts(o.volts)), say(b.ref(red).String()), say(b.ref(black).String()), say(expected), say(stop), cell{shade: true}, cell{tick: true})
	t.rows[len(t.rows)-1].least = 5.5
}

// coldTips are where the tips go for ohms at an output: each rail against its own
// return. What is live with the plug out gets none at its own poles: the tips go on
// the far ends of its leads, which are off.
func (b *bringUp) coldTips(o *output) (tips [][2]int) {
	if !slices.ContainsFunc(b.bench.Staying().Sources(), func(s faults.StayingSource) bool { return s.Device == o.device }) {
		for _, rail := range o.rails {
			tips = append(tips, [2]int{rail, b.returnOf(o, rail)})
		}
		return tips
	}
	far := func(poles []int) (int, bool) {
		for _, pole := range poles {
			for _, w := range b.ends[b.ref(pole)] {
				if at, there := b.machine().TerminalIndex(other(w, b.ref(pole))); there {
					return at, true
				}
			}
		}
		return 0, false
	}
	red, one := far(o.rails)
	black, two := far(o.returns)
	if one && two {
		tips = append(tips, [2]int{red, black})
	}
	return tips
}

func (b *bringUp) open() {
	b.head("Open everything")
	var plugs, earthed, fuses []string
	for _, d := range b.devicesOf(model.KindConnector) {
		if b.bench.LeftInPlace().Device(d.Ref) {
			earthed = append(earthed, d.Ref)
			continue
		}
		plugs = append(plugs, d.Ref)
	}
	for _, l := range b.m.Links {
		if l.Kind == model.LinkFuse {
			fuses = addNew(fuses, l.Device)
		}
	}
	if len(plugs) > 0 {
		b.step("Unplug: " + wording.Some(plugs, 60) + ".")
	}
	if len(earthed) > 0 {
		b.step("Stay mated, since earth or the mains runs through them: " + wording.Some(earthed, 60) + ".")
	}
	if len(fuses) > 0 {
		b.step("Take out the fuses: " + wording.Some(fuses, 80) + ".")
	}
	b.step("Motors and coils disconnected, air and springs drained: a shifted return can start an output.")
	b.step("Where two supplies meet by a fault in the log, that is mended first.")
}

// stops are the volts at which to stop on a rail: those within which its supply
// keeps it, and within these what a load that says so stands.
func (b *bringUp) stops(o *output, rail int) (low, high model.Optional, why string) {
	least, most, why, known := b.known.Judge().RailLimits(rail)
	if !known {
		return model.Optional{}, model.Optional{}, "not known"
	}
	narrow := ""
	for _, at := range o.loads {
		feed := b.machine().Terminals[b.parts.Loads[at].Feed]
		if v := feed.MinVolts; v.Known && v.Value > least && v.Value <= o.volts.Value {
			least, narrow = v.Value, feed.Ref().String()
		}
		if v := feed.MaxVolts; v.Known && v.Value < most && v.Value >= o.volts.Value {
			most, narrow = v.Value, feed.Ref().String()
		}
	}
	if narrow != "" {
		why += ", and what " + narrow + " stands"
	}
	return model.Known(least), model.Known(most), why
}

func (b *bringUp) bare() {
	b.head("Supplies alone, nothing connected")
	b.step("Hand on the switch. Plug in, switch on, look, listen; off again at once if anything is not as it should be. Each supply for itself where that is possible.")
	t := &table{grid: true, columns: []column{{title: "supply", bold: true, mono: true}, {title: "red", mono: true}, {title: "black", mono: true}, {title: "nominal", right: true}, {title: "stop below and above", right: true}, {title: "by", most: 50}, {title: "volts", fixed: 18}, {title: "ripple, AC", fixed: 18}, {title: "ok", fixed: 9}}}
	for _, o := range b.outputs {
		if b.noProbe(o) != "" {
			t.add(say(o.device), say("–"), say("–"), say(volts(o.volts)), say(""), say(b.noProbe(o)), cell{}, cell{}, cell{})
			continue
		}
		for _, rail := range o.rails {
			low, high, why := b.stops(o, rail)
			t.add(say(o.device), say(b.ref(rail).String()), say(b.ref(b.returnOf(o, rail)).String()), say(volts(o.volts)), say(between(low, high)), say(why), cell{shade: true}, cell{shade: true}, cell{tick: true})
			t.rows[len(t.rows)-1].least = 5.5
		}
	}
	b.fl.table(t)
}

func (b *bringUp) plugs() {
	b.head("Open plugs, before they are mated")
	b.step("Volts at every pin that carries a rail, against a pin of its own 0 V, on the half that the supplies feed. Then off, wait, mate, next plug.")
	t := &table{grid: true, columns: []column{{title: "plug", bold: true, mono: true}, {title: "red", mono: true}, {title: "black", mono: true}, {title: "rail"}, {title: "stop below and above", right: true}, {title: "volts", fixed: 20}, {title: "ok", fixed: 9}}}
	for _, d := range b.devicesOf(model.KindConnector) {
		if !b.bench.LeftInPlace().Device(d.Ref) {
			b.plugRows(t, d)
		}
	}
	b.fl.table(t)
}

// plugRows lists the pins of a plug that carry a rail with the plug open.
func (b *bringUp) plugRows(t *table, d model.Device) {
	m := b.machine()
	circuit := b.bench.AsIntended.Under(model.NewConditions(model.Condition{Kind: model.Unplugged, Device: d.Ref}))
	nets := circuit.Nets()
	for _, terminal := range b.marks[d.Ref] {
		at, there := m.TerminalIndex(terminal.Ref())
		if !there {
			continue
		}
		for _, o := range b.outputs {
			rail := b.railIn(nets.Net(at).Terminals, o)
			if rail < 0 || b.noProbe(o) != "" || b.mains(at) {
				continue
			}
			low, high, _ := b.stops(o, rail)
			black := "0 V: " + b.ref(b.returnOf(o, rail)).String()
			if pin := b.zeroPin(nets, d, o); pin >= 0 {
				black = b.ref(pin).String()
			}
			t.add(say(d.Ref), say(terminal.Ref().String()), say(black), say(volts(o.volts)), say(between(low, high)), cell{shade: true}, cell{tick: true})
			t.rows[len(t.rows)-1].least = 5.5
			break
		}
	}
}

// zeroPin is the first pin of an open plug that is joined to an output's own return;
// -1 if none is.
func (b *bringUp) zeroPin(nets *graphs.Nets, d model.Device, o *output) int {
	for _, terminal := range b.marks[d.Ref] {
		at, there := b.machine().TerminalIndex(terminal.Ref())
		if there && slices.ContainsFunc(o.returns, func(ret int) bool { return nets.Same(at, ret) }) {
			return at
		}
	}
	return -1
}

// railIn is the rail of an output that is among terminals; -1 if none is.
func (b *bringUp) railIn(terminals []int, o *output) int {
	for _, r := range o.rails {
		if slices.Contains(terminals, r) {
			return r
		}
	}
	return -1
}

func (b *bringUp) rails() {
	b.head("One rail at a time")
	b.step("Feed the rail from a supply with a current limit where there is one, set a little above the sum below; else by its own fuses, one after another. Lowest volts first, so that logic wakes before power. Everything that is not this rail stays unplugged.")
	rising := slices.Clone(b.outputs)
	slices.SortStableFunc(rising, func(x, y *output) int {
		switch d := math.Abs(x.volts.Value) - math.Abs(y.volts.Value); {
		case d < 0:
			return -1
		case d > 0:
			return 1
		}
		return 0
	})
	t := &table{grid: true, columns: []column{{title: "rail", bold: true}, {title: "fuse", mono: true, bold: true}, {title: "what it feeds", most: 70}, {title: "rated", right: true}, {title: "expected", right: true}, {title: "stop above", right: true}, {title: "A", fixed: 15}, {title: "V", fixed: 15}, {title: "ok", fixed: 9}}}
	guards := b.guards()
	for _, o := range rising {
		row := func(name, what string, rated model.Optional, amps float64) {
			stop := ""
			if amps > 0 {
				stop = figure(amps*1.25, "A")
			}
			expected := "not known"
			if amps > 0 {
				expected = figure(amps, "A")
			}
			read := cell{shade: true}
			if b.noProbe(o) != "" {
				read = say("–")
			}
			t.add(say(volts(o.volts)), say(name), say(what), say(amount(rated, "A")), say(expected), say(stop), cell{shade: true}, read, cell{tick: true})
			t.rows[len(t.rows)-1].least = 5.5
		}
		t.head(fmt.Sprintf("%s  %s: all of it %s", b.called(o.device), volts(o.volts), orNotKnown(o)))
		any := false
		for _, g := range guards {
			if !b.feeds(g, o) {
				continue
			}
			any = true
			row(g.link.Place(), b.title(g.link.Device), g.link.Value, g.amps)
		}
		if !any {
			row("–", "no fuse of its own in the map", model.Optional{}, o.amps)
		}
	}
	b.fl.table(t)
	b.fl.note("Stop above: a quarter over what the map says the loads draw (common practice); coils and motors take more for a moment, a capacitor at switching on as well.")
}

func orNotKnown(o *output) string {
	if o.amps == 0 {
		return "not known"
	}
	return figure(o.amps, "A")
}

// feeds says whether a fuse stands in the rail of an output.
func (b *bringUp) feeds(g *guard, o *output) bool {
	for _, ref := range []model.TerminalRef{g.link.FromRef(), g.link.ToRef()} {
		at, there := b.machine().TerminalIndex(ref)
		if !there {
			continue
		}
		net := b.bench.AsIntended.Nets().Net(at)
		if b.railIn(net.Terminals, o) >= 0 {
			return true
		}
	}
	return false
}

func (b *bringUp) moving() {
	b.head("What moves, last")
	var list []string
	for _, d := range b.devicesOf(model.KindMotor, model.KindSolenoid, model.KindRelay) {
		list = append(list, strings.TrimSpace(b.called(d.Ref)))
	}
	if len(list) > 0 {
		b.step("One at a time, nobody within reach, a hand on the switch: " + wording.Some(list, 40) + ".")
	}
	b.step("Everything on at once: the load test, warm, with ripple. Then the covers, the door card, a name and a date.")
	b.fl.gap(3)
	b.fl.blank(3)
}
