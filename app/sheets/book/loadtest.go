package book

import (
	"context"
	"fmt"
	"math"

	"bellout/faults/judge"
	"bellout/model"
)

// makeLoadTest prints where the probes go with the machine running.
func makeLoadTest(ctx context.Context, f *facts, s *Sheet) error {
	fl := newFlow(s, true)
	fl.heading("Load test", 30)
	fl.caution("The machine runs for this: extra-low voltage only, nothing within reach that moves, a second person near. One hand, shrouded probes, clip the return first. Never on the mains side, never inside a supply. If in doubt, stop.")
	fl.para(fmt.Sprintf("Three readings a load, with everything on that can be on at once. Across the load: the volts that it gets. Out: from the supply's rail to the load's feed, what the way there takes. Home: from the load's return to the supply's, what the way back takes. "+
		"Out and home together may take %s %% of the load's volts (setting drop_limit_percent; common practice). By the map: what the copper alone would take with every load drawing its load_a.",
		model.FormatNumber(f.settings.DropLimitPercent)), style{size: smallSize, colour: soft})
	point := f.bench.On().Operate(0) // each load draws its load_a
	blank := cell{shade: true}
	for _, o := range f.outputs() {
		if err := ctx.Err(); err != nil {
			return err
		}
		if len(o.loads) == 0 {
			continue
		}
		head := fmt.Sprintf("%s  %s", f.called(o.device), volts(o.volts))
		if reason := f.noProbe(o); reason != "" {
			fl.heading(head, 10)
			fl.para(reason, style{})
			continue
		}
		fl.heading(head, 26)
		for _, rail := range o.rails {
			fl.para(fmt.Sprintf("At the supply: red %s, black %s.   Idle ________ V   everything on ________ V   ripple (AC) ________ V   after ____ minutes, ____ °C", f.ref(rail), f.ref(f.returnOf(o, rail))), style{})
		}
		t := &table{grid: true, size: 2.3, columns: []column{
			{title: "load", bold: true, mono: true, most: 34}, {title: "what", most: 44}, {title: "across: red, black", mono: true, most: 40}, {title: "limits", right: true},
			{title: "volts", fixed: 16}, {title: "out: red, black", mono: true, most: 40}, {title: "mV", fixed: 13}, {title: "home: red, black", mono: true, most: 40}, {title: "mV", fixed: 13},
			{title: "both at most", right: true}, {title: "by the map", right: true}, {title: "pass", fixed: 10},
		}}
		for _, at := range o.loads {
			l := f.parts.Loads[at]
			device, _ := f.m.Device(l.Device)
			from := f.railTo(o, at)
			feed, rail, ret := f.ref(l.Feed).String(), f.ref(from).String(), f.ref(f.returnOf(o, from)).String()
			row := []cell{say(feed), say(device.Title), say(""), say(between(l.MinVolts, l.MaxVolts)), blank, say(rail + ", " + feed), blank, say(""), blank, say(""), say(""), {tick: true}}
			if len(l.Returns) > 0 {
				home := f.ref(l.Returns[0]).String()
				row[2], row[7] = say(feed+", "+home), say(home+", "+ret)
			} else {
				row[2] = say("no return in the map")
			}
			nominal := l.Volts
			if !nominal.Known {
				nominal = o.volts
			}
			if nominal.Known {
				row[9] = say(milli(math.Abs(nominal.Value)*f.settings.DropLimitPercent/100, true))
			}
			if len(l.Returns) > 0 && o.volts.Known {
				if got, known := point.Between(l.Feed, l.Returns[0]); known {
					if drop := math.Abs(o.volts.Value) - math.Abs(got); drop > -1e-9 && drop < math.Abs(o.volts.Value)/2 {
						row[10] = say(milli(max(0, drop), true))
					}
				}
			}
			t.add(row...)
			t.rows[len(t.rows)-1].least = 5.5
		}
		fl.table(t)
	}
	return nil
}

// noProbe says why no probes are proposed at an output; empty where they are.
func (f *facts) noProbe(o *output) string {
	switch {
	case !o.volts.Known:
		return "The map does not know its volts: no probes are named here."
	case len(o.returns) == 0:
		return "The map holds no return of it: no probes are named here."
	case f.mains(o.rails[0]) || f.mains(o.returns[0]):
		return "The map joins it to the mains side: no probes are named here. Plug out, and leave it to a licensed person."
	case !f.bench.MayProbeLive(o.rails[0], o.returns[0]):
		return fmt.Sprintf("%v V or more (AC: %v V): no probes are named here. Leave it to a licensed person.", judge.LiveProbeDC, judge.LiveProbeAC)
	}
	return ""
}

// milli prints small volts in millivolts.
func milli(volts float64, known bool) string {
	switch {
	case !known:
		return ""
	case volts < 1 && volts > -1:
		return figure(volts*1000, "mV")
	}
	return figure(volts, "V")
}
