package faults

import (
	"fmt"
	"slices"
	"strings"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// misfeedFinding puts a group of wrongly fed loads into words.
func (w *wiring) misfeedFinding(rule string, severity Severity, group misfeedGroup) Finding {
	parts := w.b.Parts
	supply := parts.Supplies[group.feeds[0].supply]
	d := w.b.draft(rule, severity)
	confidence := 1.0
	if group.whole {
		d.blameTerminals(supply.Rail)
	}
	if group.culprit >= 0 {
		d.blame(group.culprit)
		confidence = 0.9 // which wire is a guess; that the loads stand wrong is not
	}
	var needs []string
	for _, f := range group.feeds {
		load := parts.Loads[f.load]
		d.blameTerminals(load.Feed).nets(load.Feed)
		needs = append(needs, fmt.Sprintf("%s (made for %s)", w.ref(load.Feed), madeFor(load)))
	}
	d.blame(group.wires...).nets(supply.Rail)
	w.misfeedHeadline(d, rule, group)
	return d.say(confidence, w.misfeedMessage(group, needs), w.misfeedAdvice(rule, group))
}

// misfeedHeadline says who gets what: too many volts, too few, or reversed ones.
func (w *wiring) misfeedHeadline(d *draft, rule string, group misfeedGroup) {
	what := map[string]string{"over-voltage": "too many volts", "under-voltage": "too few volts"}[rule]
	if group.feeds[0].reversed {
		what = "reversed volts"
	}
	if group.whole {
		d.headed("%s suits none of its loads: "+what, w.b.Parts.Supplies[group.feeds[0].supply].Device)
		return
	}
	var devices []string
	for _, f := range group.feeds {
		devices = append(devices, w.b.Parts.Loads[f.load].Device)
	}
	d.headed("%s on the wrong rail, %s: "+what, judge.ListText(eachOnce(devices), 3), w.name(w.net(w.b.Parts.Supplies[group.feeds[0].supply].Rail)))
}

// madeFor says what volts a load is made for, and how far it stands.
func madeFor(load graphs.Load) string {
	least, most := load.MinVolts, load.MaxVolts
	switch {
	case least.Known && most.Known && load.Volts.Known:
		return fmt.Sprintf("%s V, %s to %s V", load.Volts, model.Figures(least.Value), model.Figures(most.Value))
	case least.Known && most.Known:
		return fmt.Sprintf("%s to %s V", model.Figures(least.Value), model.Figures(most.Value))
	case least.Known:
		return "at least " + model.Figures(least.Value) + " V"
	case most.Known:
		return "at most " + model.Figures(most.Value) + " V"
	default:
		return "volts that the map does not say"
	}
}

func (w *wiring) misfeedMessage(group misfeedGroup, needs []string) string {
	first := group.feeds[0]
	supply := w.b.Parts.Supplies[first.supply]
	source := fmt.Sprintf("%s V of %s", model.MeterFigures(first.volts), w.ref(supply.Rail))
	var text strings.Builder
	switch {
	case group.whole:
		fmt.Fprintf(&text, "No load on %s suits the %s: %s. The supply itself is the wrong one, set wrong, or noted wrong.",
			w.name(w.net(supply.Rail)), source, judge.ListText(needs, 8))
	case len(group.feeds) > 1:
		fmt.Fprintf(&text, "%d feeds stand on the %s that do not suit it: %s.", len(group.feeds), source, judge.ListText(needs, 8))
		if group.culprit >= 0 {
			fmt.Fprintf(&text, " All of them hang by %s, and nothing beyond it wants these volts: that wire lands on the wrong rail.", w.wireName(group.culprit))
		} else if group.shared >= 0 {
			fmt.Fprintf(&text, " They share %s and no wire.", w.elementText(group.shared))
		}
	default:
		fmt.Fprintf(&text, "%s stands on the %s", needs[0], source)
		if len(group.wires) > 0 {
			fmt.Fprintf(&text, ", through %s", w.wireName(group.wires[0]))
		}
		text.WriteString(".")
	}
	if first.reversed {
		text.WriteString(" The sign is the wrong way round, which destroys more surely than too much of the right one.")
	}
	if slices.ContainsFunc(group.feeds, func(f misfeed) bool { return f.switched }) {
		text.WriteString(" A contact that is open at rest, or a driver's output, leads there: it happens when that closes.")
	}
	if slices.ContainsFunc(group.feeds, func(f misfeed) bool { return f.behind }) {
		text.WriteString(" They come through a diode, whose drop is taken off.")
	}
	return text.String()
}

func (w *wiring) misfeedAdvice(rule string, group misfeedGroup) string {
	first := group.feeds[0]
	load, supply := w.b.Parts.Loads[first.load], w.b.Parts.Supplies[first.supply]
	if tooLive(first.volts) {
		return fmt.Sprintf("Leave the machine off, plug out. %s V is above what this tool lets anyone probe live: compare labels and follow the wires dead, and have a competent person measure.", model.MeterFigures(first.volts))
	}
	if !w.b.allLow(load.Feed, supply.Rail) { // what was compared is low, but not all that the map has there
		return "Leave the machine off, plug out. The map has more volts there than this tool lets anyone probe live: compare labels and follow the wires dead, and have a competent person measure."
	}
	var text strings.Builder
	if group.whole {
		fmt.Fprintf(&text, "Read the label and the set value of %s, then measure its output alone, all loads unplugged (red on %s, black on its own 0 V, DC volts). Set, exchange or correct it in the map before anything is plugged in again.",
			supply.Device, w.ref(supply.Rail))
	} else {
		fmt.Fprintf(&text, "Unplug %s and compare its label with the volts at the open plug (DC volts, black on the plug's own 0 V, nothing moving).", w.b.unplugText(load.Device))
		move := "the feed"
		if group.culprit >= 0 {
			move = w.wireName(group.culprit)
		} else if len(group.feeds) == 1 && len(group.wires) > 0 {
			move = w.wireName(group.wires[0])
		}
		fmt.Fprintf(&text, " Then, power off and plug out, move %s to %s.", move, w.rightRails(group))
	}
	if rule == "over-voltage" {
		text.WriteString(" Take what stood on too many volts as damaged until it has run on a fused bench supply.")
	}
	return text.String()
}

// rightRails names the rails that would suit every load of a group.
func (w *wiring) rightRails(group misfeedGroup) string {
	var names []string
	for i, supply := range w.b.Parts.Supplies {
		suits := !slices.ContainsFunc(group.feeds, func(f misfeed) bool {
			volts, known := w.nominalVolts(w.b.Parts.Loads[f.load], i)
			where, _ := judgeVolts(w.b.Parts.Loads[f.load], volts)
			return !known || where != within
		})
		if suits {
			names = append(names, w.name(w.net(supply.Rail)))
		}
	}
	if len(names) == 0 {
		return "a rail that suits it (none of the map does)"
	}
	slices.Sort(names)
	return judge.ListText(eachOnce(names), 4)
}
