package book

import (
	"context"
	"fmt"

	"bellout/faults"
	"bellout/model"
	"bellout/model/wording"
)

// makeSupplyCheck prints what each output has to give with everything on.
func makeSupplyCheck(_ context.Context, f *facts, s *Sheet) error {
	fl := newFlow(s, false)
	fl.heading("Supply load check", 24)
	fl.para(fmt.Sprintf("The sum of load_a of all loads that an output reaches, through contacts in any position and drivers, against the supply's limit_a. "+
		"Use limit: %s %% of it (setting supply_use_limit_percent; 80 %% is the continuous load of FAA AC 43.13-1B par. 11-35a). A load that several outputs reach counts with each.",
		model.FormatNumber(f.settings.SupplyUseLimitPercent)), style{size: smallSize, colour: soft})
	outputs := f.outputs()
	t := &table{columns: []column{{title: "supply", bold: true, mono: true}, {title: "what", most: 44}, {title: "rail"}, {title: "loads", right: true}, {title: "sum", right: true}, {title: "limit", right: true},
		{title: "use", right: true}, {title: "verdict", most: 50}, {title: "idle V", fixed: 15}, {title: "loaded V", fixed: 15}, {title: "ripple", fixed: 15}}}
	for _, o := range outputs {
		verdict := f.useVerdict(o)
		use := ""
		if o.limit.Known && o.limit.Value > 0 {
			use = fmt.Sprintf("%.0f %%", 100*o.amps/o.limit.Value)
		}
		read := cell{shade: true}
		if f.noProbe(o) != "" {
			read = say("–")
		}
		t.add(say(o.device), say(f.title(o.device)), say(volts(o.volts)), say(digits(len(o.loads))), say(figure(o.amps, "A")), say(amount(o.limit, "A")), say(use), verdict, read, read, read)
		t.rows[len(t.rows)-1].least = 5.5
	}
	fl.table(t)
	for _, o := range outputs {
		if len(o.loads) == 0 {
			continue
		}
		fl.heading(fmt.Sprintf("%s  %s", f.called(o.device), volts(o.volts)), 14)
		d := &table{columns: []column{{title: "load", bold: true, mono: true}, {title: "what", most: 60}, {title: "where", most: 40}, {title: "volts", right: true}, {title: "limits", right: true}, {title: "draws", right: true}}}
		for _, at := range o.loads {
			l := f.parts.Loads[at]
			device, _ := f.m.Device(l.Device)
			draws := amount(l.Amps, "A")
			if draws == "" {
				draws = "not known"
			}
			d.add(say(f.ref(l.Feed).String()), say(device.Title), say(device.Zone), say(amount(l.Volts, "V")), say(between(l.MinVolts, l.MaxVolts)), say(draws))
		}
		fl.table(d)
	}
	f.findingsOf(fl, "What check says of supplies", "overload", "over-voltage", "under-voltage", "rail-cross")
	return nil
}

func between(low, high model.Optional) string {
	if !low.Known || !high.Known {
		return ""
	}
	return model.Figures(low.Value) + " to " + model.Figures(high.Value) + " V"
}

func (f *facts) useVerdict(o *output) cell {
	words := ""
	if o.unknown > 0 {
		words = fmt.Sprintf("; %s of no known load_a", wording.Count(o.unknown, "load"))
	}
	switch limit := o.limit.Value; {
	case !o.limit.Known:
		return say("no limit_a in the map" + words)
	case o.amps > limit:
		return cell{text: "OVER its limit" + words, bold: true, colour: alarm}
	case o.amps > limit*f.settings.SupplyUseLimitPercent/100:
		return cell{text: "over the use limit" + words, bold: true}
	}
	return say("within" + words)
}

// findingsOf lists what check found by some rules; nothing where it found nothing.
func (f *facts) findingsOf(fl *flow, head string, rules ...string) {
	var list []faults.Finding
	for _, finding := range f.report.Findings {
		for _, rule := range rules {
			if finding.Rule == rule {
				list = append(list, finding)
			}
		}
	}
	if len(list) == 0 {
		return
	}
	fl.heading(head, 16)
	fl.table(f.findingTable(list))
}

func (f *facts) findingTable(list []faults.Finding) *table {
	t := &table{columns: []column{{title: "", bold: true}, {title: "rule", most: 30}, {title: "what and where", most: 110}, {title: "what decides, and the repair", most: 110}}}
	for _, finding := range list {
		severity := cell{text: string(finding.Severity)}
		if finding.Severity == faults.Fault {
			severity.text, severity.colour = "FAULT", alarm
		}
		t.add(severity, say(finding.Rule), say(finding.Message), say(finding.Advice))
	}
	return t
}
