package faults

import (
	"fmt"
	"slices"
	"strings"

	"bellout/faults/explain"
	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// timesClosed is how often a contact reads closed before it is called welded: once
// may be a slip of the tip, or of who noted the position.
const timesClosed = 2

// weldedFinding accuses a contact that read closed more than once where its position
// says open: a relay without power, an emergency stop that is pressed, the switch of
// a door that stands open. It names what that contact no longer switches off.
func (e *evidence) weldedFinding(cause explain.Cause) (Finding, bool) {
	b := e.b
	element := b.AsDrawn.Elements[cause.Element]
	if element.Kind != graphs.Contact || e.readClosed(cause) < timesClosed {
		return Finding{}, false
	}
	name, device := b.elementName(cause.Element), b.device(element.A)
	d := e.causeDraft(nameFailedPart, cause)
	d.finding.Mode = FailWelded
	d.headed("%s is welded: it no longer opens", name)
	effect := "What it switches is not on the map."
	direct, beyond := b.switchedBy(cause.Element)
	switch {
	case len(direct) > 0:
		d.devices(direct...).devices(beyond...)
		d.headed("%s is welded: it no longer takes %s off", name, judge.ListText(direct, 2))
		effect = fmt.Sprintf("It no longer takes %s off", judge.ListText(direct, 6))
		if len(beyond) > 0 {
			effect += fmt.Sprintf(", nor what that switches: %s", judge.ListText(beyond, 6))
		}
		effect += "."
	default:
		if readers := b.readersOf(cause.Element); len(readers) > 0 {
			d.headed("%s is welded: %s reads it as closed for ever", name, judge.ListText(readers, 1))
			effect = fmt.Sprintf("%s takes it for closed, whatever its position.", judge.ListText(readers, 4))
		}
	}
	message := fmt.Sprintf("%s conducts where its position says open: it is welded, or it does not stand where it was noted to stand. %s", name, effect)
	advice := fmt.Sprintf("Do not rely on %s, and run nothing that it should stop, before it is replaced. Plug out: look whether it stands in the position noted%s, and read %s to %s once more, ohms; "+
		"closed again proves it. Replace the contact with all of %s, and find what welded it before the new one switches: a short behind it, a fuse too large for it, a load that starts too hard, a coil without a diode. "+
		"If it stood in the other position, note that (closed %s).",
		device, positionText(b.kindOf(device)), b.name(element.A), b.name(element.B), device, name)
	return e.say(d, cause, message, e.caution(cause.Place, advice)), true
}

// positionText says how a contact of a kind of device is seen to be open.
func positionText(kind model.DeviceKind) string {
	if kind == model.KindRelay {
		return " (its coil without power)"
	}
	return ""
}

// readClosed counts the readings behind a cause that show its contact closed.
func (e *evidence) readClosed(cause explain.Cause) int {
	count := 0
	for _, number := range cause.Readings {
		w := e.weighed[number]
		if w.judgement.Outcome == judge.Contradicts && !w.judgement.Sight.Metal && !judge.OpenWay(w.reading) {
			count++
		}
	}
	return count
}

// switchedBy names what has no power, or no way back, when a contact is open, other
// contacts standing as they may; and what the contacts of those relays switch in turn.
func (b *Analysis) switchedBy(contact int) (direct, beyond []string) {
	direct = b.losesBy(contact)
	seen := map[string]bool{}
	for _, device := range direct {
		seen[device] = true
	}
	for queue := direct; len(queue) > 0; queue = queue[1:] {
		if b.kindOf(queue[0]) != model.KindRelay {
			continue
		}
		for row, link := range b.Machine.Links {
			if link.Device != queue[0] || link.Kind != model.LinkContact {
				continue
			}
			for _, device := range b.losesBy(b.AsDrawn.LinkElement(row)) {
				if !seen[device] {
					seen[device] = true
					beyond = append(beyond, device)
					queue = append(queue[:len(queue):len(queue)], device)
				}
			}
		}
	}
	return direct, beyond
}

// losesBy returns the devices, sorted, that reach a rail and a return only through one
// contact.
func (b *Analysis) losesBy(contact int) []string {
	out := b.culprits()
	out[contact] = true
	without := findReach(b, b.AsIntended.Without(contact), out)
	ways := func(r *reach, ends []int, negative bool) bool {
		return slices.ContainsFunc(ends, func(t int) bool { return len(r.supplies(t, negative)) > 0 }) &&
			slices.ContainsFunc(ends, func(t int) bool { return len(r.grounds(t, negative)) > 0 })
	}
	var list []string
	lost := func(device string, ends []int, negative bool) {
		if !slices.Contains(list, device) && ways(b.reach, ends, negative) && !ways(without, ends, negative) {
			list = append(list, device)
		}
	}
	for _, load := range b.Parts.Loads {
		lost(load.Device, append([]int{load.Feed}, load.Returns...), load.Volts.Or(0) < 0)
	}
	for row, link := range b.Machine.Links { // coils and lamps between plain terminals
		if e := b.AsDrawn.Elements[b.AsDrawn.LinkElement(row)]; link.Kind == model.LinkResistance {
			lost(link.Device, []int{e.A, e.B}, false)
		}
	}
	slices.SortFunc(list, model.Compare)
	return list
}

// readersOf names the signal terminals that a contact joins to something.
func (b *Analysis) readersOf(contact int) []string {
	e := b.AsDrawn.Elements[contact]
	nets := b.AsIntended.Without(contact).Nets()
	var list []string
	for _, t := range [2]int{e.A, e.B} {
		for _, other := range nets.Net(t).Terminals {
			if b.role(other) == model.RoleSignal {
				list = append(list, b.name(other))
			}
		}
	}
	slices.SortFunc(list, model.Compare)
	return slices.Compact(list)
}

// closedOnce says what to do about one reading that shows a contact closed where its
// position says open.
func (e *evidence) closedOnce(cause explain.Cause) string {
	name := e.b.elementName(cause.Element)
	if e.b.AsDrawn.Elements[cause.Element].Kind != graphs.Contact {
		return fmt.Sprintf("%s conducts and is noted as blown: correct the map", name)
	}
	return strings.TrimSpace(fmt.Sprintf("%s reads closed where its position says open: look at the position and repeat the reading once; closed twice it is welded. "+
		"If it does stand closed, note it (--when \"closed %s\") or correct the map", name, name))
}
