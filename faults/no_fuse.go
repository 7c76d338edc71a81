package faults

import (
	"fmt"
	"strings"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

var ruleNoFuse = Rule{
	Name:  "no-fuse",
	Title: "A wire with no fuse or breaker upstream that its source can burn",
	Why: "A short makes the source deliver all it has, and the thinnest wire on the way becomes the fuse. Fuses protect wires, so they are sized " +
		"by the wire and sit at the source. The rule follows the feed side from every rail and from the mains inlet (taken as protected at its limit_a), " +
		"through contacts in any position and sourcing drivers, and compares the source's limit_a with the current each wire may be fused for " +
		"(AWG: FAA AC 43.13-1B Table 11-3; mm2: IEC 60204-1 Table 6, column B2; or the table that the setting ampacity names). " +
		"Returns, signals and what lies behind a load are protected by the fuse in the feed. A lead to the first fuse that ends within 0.18 m of its source is a note " +
		"(7 inches: common practice, as small-craft wiring has it, from memory). Wires of unknown size and sources of unknown limit are left out; " +
		"wires thinner than all of the table are a note.",
	Check: checkNoFuse,
}

func checkNoFuse(b *Analysis) []Finding {
	if err := graphs.CheckAmpacity(b.Settings.Ampacity); err != nil {
		return []Finding{b.draft("no-fuse", Note).headed("No wire was compared with its fuse").say(1, "No wire was compared with its fuse: "+err.Error()+".", "Correct the setting, then check again.")}
	}
	pr := findProtection(b)
	bare, _, thin := pr.exposed()
	var findings []Finding
	for _, one := range bare {
		short, long := pr.shortLeads(one)
		if len(long.wires) > 0 {
			findings = append(findings, pr.noFuseFinding(long))
		}
		if len(short.wires) > 0 {
			findings = append(findings, pr.leadNote(short))
		}
	}
	if len(thin) > 0 {
		findings = append(findings, pr.thinNote(thin))
	}
	return findings
}

func (pr *protection) noFuseFinding(one exposure) Finding {
	b := pr.p.b
	from := one.source
	d := b.draft("no-fuse", Fault).blame(one.wires...).terminals(from.terminal).devices(b.device(from.terminal)).nets(from.terminal)
	for _, id := range one.wires {
		d.nets(b.AsIntended.Elements[id].A)
	}
	thinnest := pr.thinnest(one.wires)
	d.headed("No fuse between %s and %s", b.name(from.terminal), pr.wireName(thinnest))
	var text strings.Builder
	fmt.Fprintf(&text, "%s delivers up to %s A, and no fuse or breaker stands between it and %s.",
		b.name(from.terminal), model.MeterFigures(from.limit.Value), pr.wiresText(one.wires))
	advice := fmt.Sprintf("Power off: follow %s from %s and look for a fuse that the map lacks; read the size printed on the wire. "+
		"If there is none, fit a fuse of at most %s A in the feed, as near to %s as it can be (one for each branch), or thicker wire.",
		pr.wireName(one.wires[0]), b.name(from.terminal), model.MeterFigures(pr.limits(pr.gauge(thinnest)).fuse), b.device(from.terminal))
	if first := one.wires[0]; !from.mains && pr.endsAtFuse(first, from.terminal, pr.metresFrom(from.terminal)) {
		length := "of a length that the map does not say"
		if metres := b.Machine.Wires[b.AsIntended.Elements[first].Row].LengthMetres; metres.Known {
			length = model.FormatNumber(metres.Value) + " m long"
		}
		fmt.Fprintf(&text, " %s is %s; a lead that ends at its fuse within %s m would do.", pr.wireName(first), length, model.FormatNumber(leadMetres))
	}
	switch {
	case from.mains:
		text.WriteString(" This is mains wiring, taken as protected at the inlet's limit.")
		advice = "Plug out, and leave it out: look only, ohms only. Mains wiring and its protection are for a licensed person and the local code. " +
			fmt.Sprintf("What to ask for: protection of at most %s A ahead of %s, or thicker wire.", model.MeterFigures(pr.limits(pr.gauge(thinnest)).fuse), pr.wireName(thinnest))
	case tooLive(from.volts):
		advice = "Plug out and discharged before anything is touched; have a competent person do it. " + advice
	}
	return d.say(1, text.String(), advice)
}

// leadNote lists the short leads between a source and its first fuse.
func (pr *protection) leadNote(one exposure) Finding {
	b := pr.p.b
	d := b.draft("no-fuse", Note).blame(one.wires...).terminals(one.source.terminal).devices(b.device(one.source.terminal)).nets(one.source.terminal)
	d.headed("No fuse before %s, which is short enough", b.shortNames(one.wires))
	metres := 0.0
	for _, id := range one.wires {
		metres += b.Machine.Wires[b.AsIntended.Elements[id].Row].LengthMetres.Value
	}
	return d.say(1,
		fmt.Sprintf("%s delivers up to %s A, and no fuse stands before %s: %s in all, short enough (up to %s m, common practice).",
			b.name(one.source.terminal), model.MeterFigures(one.source.limit.Value), pr.wiresText(one.wires), model.FormatNumber(metres)+" m", model.FormatNumber(leadMetres)),
		"A tape along it, from the source to the fuse. Then keep it as short as it is, sleeved, and where nothing can chafe or drop on it: only the source's own limit stops a short there.")
}

// thinNote lists the wires that the table does not reach down to.
func (pr *protection) thinNote(wires []int) Finding {
	b := pr.p.b
	d := b.draft("no-fuse", Note).blame(wires...)
	var names []string
	for _, id := range wires {
		names = append(names, fmt.Sprintf("%s (%s)", pr.wireName(id), pr.gauge(id)))
		d.nets(b.AsIntended.Elements[id].A)
	}
	d.headed("Too thin for the table of currents: %s", b.shortNames(wires))
	return d.say(1,
		fmt.Sprintf("Thinner than every size of the table of currents, so not judged: %s.", judge.ListText(names, 12)),
		"Ask the wire's maker what it may carry and compare that with the fuse in its feed; keep thin wire to signals and small loads, or fuse the branch low.")
}

// wiresText names wires with the current that each may be fused for.
func (pr *protection) wiresText(wires []int) string {
	var names []string
	for _, id := range wires {
		names = append(names, pr.carries(id, false))
	}
	return judge.ListText(names, 6)
}

func (pr *protection) wireName(id int) string {
	return pr.p.b.Machine.Wires[pr.p.b.AsIntended.Elements[id].Row].Name
}

func (pr *protection) gauge(id int) model.Gauge {
	return pr.p.b.Machine.Wires[pr.p.b.AsIntended.Elements[id].Row].Gauge
}

// thinnest returns the wire that may be fused for the least current, the
// nearest to the source among equals.
func (pr *protection) thinnest(wires []int) int {
	best := wires[0]
	for _, id := range wires {
		if pr.limits(pr.gauge(id)).fuse < pr.limits(pr.gauge(best)).fuse {
			best = id
		}
	}
	return best
}
