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

var ruleOverload = Rule{
	Name:  "overload",
	Title: "The loads on a rail sum to more than its supply gives",
	Why: "An overloaded supply reads right at idle, then sags, hiccups or trips when everything runs at once; a hot one ages early. " +
		"The rule sums the load_a of all loads that a rail reaches through wires, whole fuses, contacts in any position and drivers, and compares " +
		"the sum with the supply's limit_a (fault) and with supply_use_limit_percent of it (warning; by default 80 %, the continuous load of " +
		"FAA AC 43.13-1B par. 11-35a). A converter counts by its own load_a. A load without load_a is not counted, and the message says so.",
	Check: checkOverload,
}

// draw is one load on an output, with the amperes it adds.
type draw struct {
	load graphs.Load
	amps float64
}

// output is one output of a supply: all its rail terminals of the same volts
// and section, which share the limit. Outputs whose rails meet because a bond
// lets them are one, and give what each of them gives.
type output struct {
	rails   []graphs.Supply
	limit   model.Optional
	devices []string
	reaches map[int]bool // loads, by place in Parts.Loads; false: only through a diode
}

func checkOverload(b *Analysis) []Finding {
	outputs := findOutputs(b)
	shares := map[int][]int{} // by load: the outputs, by place, that reach it through a diode
	for at, out := range outputs {
		for load, direct := range out.reaches {
			if !direct {
				shares[load] = append(shares[load], at)
			}
		}
	}
	var findings []Finding
	for at, out := range outputs {
		if finding, found := out.judge(b, func(load int) float64 { return shareOf(outputs, shares[load], at) }); found {
			findings = append(findings, finding)
		}
	}
	return findings
}

// findOutputs lists the outputs and the loads that each reaches, sorted by
// device and volts.
func findOutputs(b *Analysis) []*output {
	p := findPieces(b)
	loadsIn := map[int][]int{} // by piece
	for i, load := range b.Parts.Loads {
		loadsIn[p.of[load.Feed]] = append(loadsIn[p.of[load.Feed]], i)
	}
	type key struct {
		device, section string
		volts           model.Optional
	}
	known := map[key]*output{}
	var outputs []*output
	for _, supply := range b.Parts.Supplies {
		k := key{supply.Device, b.Machine.Terminals[supply.Rail].Section, supply.Volts}
		out := known[k]
		if out == nil {
			out = &output{limit: supply.LimitAmps, devices: []string{supply.Device}, reaches: map[int]bool{}}
			known[k] = out
			outputs = append(outputs, out)
		}
		out.rails = append(out.rails, supply)
		for piece, direct := range p.downstream(supply.Rail, supply.Volts.Or(0)) {
			for _, load := range loadsIn[piece] {
				if b.Parts.Loads[load].Device != supply.Device {
					out.reaches[load] = out.reaches[load] || direct
				}
			}
		}
	}
	addStacked(b, outputs)
	outputs = together(b, outputs)
	slices.SortFunc(outputs, func(x, y *output) int {
		return cmp.Or(model.Compare(x.rails[0].Device, y.rails[0].Device), cmp.Compare(x.volts(), y.volts()),
			model.CompareRefs(b.AsIntended.Ref(x.rails[0].Rail), b.AsIntended.Ref(y.rails[0].Rail)))
	})
	return outputs
}

// together makes one of the outputs whose rails meet because a bond lets them.
func together(b *Analysis, outputs []*output) []*output {
	meets := func(x, y *output) bool {
		one, other := b.supplyAt(x.rails[0].Rail), b.supplyAt(y.rails[0].Rail)
		return b.NetOf(x.rails[0].Rail) == b.NetOf(y.rails[0].Rail) && b.MayMeet(one, other)
	}
	var merged []*output
	for _, out := range outputs {
		at := -1
		if len(b.SuppliesAt(b.NetOf(out.rails[0].Rail))) > 1 {
			at = slices.IndexFunc(merged, func(other *output) bool { return meets(out, other) })
		}
		if at < 0 {
			merged = append(merged, out)
			continue
		}
		into := merged[at]
		into.rails, into.devices = append(into.rails, out.rails...), append(into.devices, out.devices...)
		into.limit = model.Optional{Value: into.limit.Value + out.limit.Value, Known: into.limit.Known && out.limit.Known}
		for load, direct := range out.reaches {
			into.reaches[load] = into.reaches[load] || direct
		}
	}
	for _, out := range merged {
		out.devices = inOrder(nil, eachOnce(out.devices))
		slices.SortFunc(out.rails, func(x, y graphs.Supply) int { return b.compareTerminals(x.Rail, y.Rail) })
		for load := range out.reaches { // one feeds the other's own input, or charges it
			if slices.Contains(out.devices, b.Parts.Loads[load].Device) {
				delete(out.reaches, load)
			}
		}
	}
	return merged
}

// addStacked counts a load across supplies in series on each of them.
func addStacked(b *Analysis, outputs []*output) {
	if len(b.under) == 0 {
		return
	}
	of := map[int]*output{} // by rail
	for _, out := range outputs {
		for _, supply := range out.rails {
			of[supply.Rail] = out
		}
	}
	for at, supply := range b.Parts.Supplies {
		for _, load := range sortedKeys(of[supply.Rail].reaches) {
			ground, _, stacked := b.stackedOn(b.Parts.Loads[load].Returns, at)
			if !stacked {
				continue
			}
			_, through := b.stackVolts(b.groundOfSupply[at], ground)
			for _, root := range through {
				lower := of[b.Parts.Supplies[b.under[root]].Rail]
				lower.reaches[load] = lower.reaches[load] || of[supply.Rail].reaches[load]
			}
		}
	}
}

func (o *output) volts() float64 { return o.rails[0].Volts.Or(0) }

// shareOf says what part of a load one output carries when several reach it
// through diodes: the highest volts take it all, equals take equal parts.
func shareOf(outputs []*output, sharing []int, at int) float64 {
	if !slices.Contains(sharing, at) {
		return 1
	}
	equals := 0
	for _, other := range sharing {
		switch mine, theirs := math.Abs(outputs[at].volts()), math.Abs(outputs[other].volts()); {
		case theirs > mine:
			return 0
		case theirs == mine:
			equals++
		}
	}
	return 1 / float64(equals)
}

// judge sums what hangs on the output.
func (o *output) judge(b *Analysis, share func(load int) float64) (Finding, bool) {
	if !o.limit.Known {
		return Finding{}, false
	}
	var draws []draw
	var unknown []string
	sum := 0.0
	for _, i := range sortedKeys(o.reaches) {
		load := b.Parts.Loads[i]
		if !load.Amps.Known {
			unknown = append(unknown, b.name(load.Feed))
			continue
		}
		amps := load.Amps.Value * share(i)
		draws = append(draws, draw{load, amps})
		sum += amps
	}
	limit := o.limit.Value
	use := limit * b.Settings.SupplyUseLimitPercent / 100
	const slack = 1e-9 // sums of decimals are not exact in binary
	severity := Warning
	switch {
	case sum > limit*(1+slack)+slack:
		severity = Fault
	case sum <= use*(1+slack)+slack:
		return Finding{}, false
	}
	slices.SortFunc(draws, func(x, y draw) int {
		return cmp.Or(cmp.Compare(y.amps, x.amps), model.CompareRefs(b.AsIntended.Ref(x.load.Feed), b.AsIntended.Ref(y.load.Feed)))
	})
	return o.finding(b, draws, unknown, sum, severity), true
}

func (o *output) finding(b *Analysis, draws []draw, unknown []string, sum float64, severity Severity) Finding {
	rails, limit := o.rails, o.limit.Value
	d := b.draft("overload", severity)
	var heavy []string
	for _, supply := range rails {
		d.blameTerminals(supply.Rail).nets(supply.Rail)
	}
	for _, one := range draws {
		if one.amps > 0 {
			d.devices(one.load.Device).terminals(one.load.Feed)
			heavy = append(heavy, fmt.Sprintf("%s %s A", one.load.Device, model.MeterFigures(one.amps)))
		}
	}
	names, is, its, gives := judge.ListText(o.devices, 4), "is", "its", "gives"
	if len(o.devices) > 1 {
		is, its, gives = "are", "their", "give"
	}
	d.headed("%s %s overloaded", names, is)
	if severity == Warning {
		d.headed("%s %s loaded up to %s limit", names, is, its)
	}
	var text strings.Builder
	fmt.Fprintf(&text, "The loads on %s draw %s A together; %s %s %s A", b.name(rails[0].Rail), model.MeterFigures(sum), names, gives, model.MeterFigures(limit))
	if severity == Warning {
		fmt.Fprintf(&text, ", and %s %% of it is %s A", model.FormatNumber(b.Settings.SupplyUseLimitPercent), model.MeterFigures(limit*b.Settings.SupplyUseLimitPercent/100))
	}
	fmt.Fprintf(&text, ". Heaviest first: %s.", judge.ListText(heavy, 6))
	if len(unknown) > 0 {
		slices.SortFunc(unknown, model.Compare)
		fmt.Fprintf(&text, " Not counted, load_a unknown: %s.", judge.ListText(unknown, 6))
	}
	advice := fmt.Sprintf("With everything on at once, measure the volts at %s's own terminals, then unplug half of the loads and compare: volts that rise by more than a few percent are an overloaded supply. "+
		"Then move loads to another supply, let them start one after another, or fit a supply with 30 %% in hand (common practice).", rails[0].Device)
	if volts := rails[0].Volts; volts.Known && tooLive(volts.Value) {
		advice = fmt.Sprintf("Do not probe this output live. Add up the labels again with the plug out, then move loads to another supply or fit a larger one at %s; a competent person measures it.", rails[0].Device)
	}
	return d.say(1, text.String(), advice)
}
