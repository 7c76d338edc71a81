package faults

import (
	"fmt"

	"bellout/faults/explain"
	"bellout/graphs"
	"bellout/model"
)

// Conductors that end at a terminal that is not theirs: a row of pins counted
// from the wrong face or one place off, and a single wire on the terminal beside
// its own.

// patternFinding names a row of pins whose wires all sit elsewhere: one mistake,
// one repair, one finding.
func (e *evidence) patternFinding(cause explain.Cause) Finding {
	b := e.b
	landings := cause.Landings(b.AsDrawn)
	d := b.draft(nameSwapped, Fault)
	d.first.devices = append(d.first.devices, b.device(cause.A))
	pins := map[int]bool{}
	for _, l := range landings {
		d.blame(l.Wire).nets(l.At)
		if !pins[l.At] {
			pins[l.At] = true
			d.blameTerminals(l.At)
		}
	}
	for _, rival := range cause.Rivals {
		e.blamePlace(d, rival.Place)
	}
	far := func(l explain.Landing) string { return b.name(b.AsDrawn.Far(l.Wire, l.At)) }
	first := landings[0]
	var message, advice string
	if cause.Fault == explain.Mirrored {
		last := landings[len(landings)-1]
		for _, l := range landings {
			if l.At == first.On {
				last = l
				break
			}
		}
		d.headed("%s is wired in mirror image: counted from the wrong face", b.device(cause.A))
		message = fmt.Sprintf("%s is mirrored: its %d wired pins are counted from the wrong face, so that what belongs on %s sits on %s, and so on inwards.",
			b.device(cause.A), wiredPins(b.AsDrawn, cause.Place), b.name(first.At), b.where(first.On))
		advice = fmt.Sprintf("Check the first pin and the last, then one in the middle: probe %s to %s, %s to %s, then %s. Joins prove it. "+
			"Pin the housing anew and mark its face on the drawing, or correct the map if the machine is right%s.",
			far(first), b.where(first.On), far(last), b.where(last.On), e.middleText(cause, landings), e.openPlug(cause.Place))
		return e.say(d, cause, message, e.caution(cause.Place, advice))
	}
	onPin := make([]explain.Landing, 0, len(landings)) // those that land on a pin
	for _, l := range landings {
		if l.On >= 0 {
			onPin = append(onPin, l)
		}
	}
	one, other := onPin[0], onPin[len(onPin)-1]
	edge := landings[len(landings)-1]
	if cause.Step < 0 {
		edge = first
	}
	falls := "hangs free"
	if edge.On >= 0 {
		falls = "sits on " + b.name(edge.On)
	}
	shown := one
	if shown == edge && len(onPin) > 1 {
		shown = other
	}
	d.headed("%s is wired one pin off", b.device(cause.A))
	message = fmt.Sprintf("%s is shifted by one over %d wired pins: what belongs on %s sits on %s, and so on; what belongs on %s %s.",
		b.device(cause.A), wiredPins(b.AsDrawn, cause.Place), b.name(shown.At), b.where(shown.On), b.name(edge.At), falls)
	advice = fmt.Sprintf("Test it on two pins far apart: probe %s to %s, then %s to %s. Joins prove it. "+
		"Move the contacts, or plug the housing in place and key it, or correct the map if the machine is right%s.",
		far(one), b.where(one.On), far(other), b.where(other.On), e.openPlug(cause.Place))
	return e.say(d, cause, message, e.caution(cause.Place, advice))
}

// where names the place on which a wire sits.
func (b *Analysis) where(terminal int) string {
	if terminal < 0 {
		return "no terminal"
	}
	return b.name(terminal)
}

// middleText names a probe in the middle of a mirrored row: a pin that stays
// where it is, or the innermost that does not.
func (e *evidence) middleText(cause explain.Cause, landings []explain.Landing) string {
	b := e.b
	moved := map[int]bool{}
	for _, l := range landings {
		moved[l.At] = true
	}
	for _, pin := range explain.RowPins(b.AsDrawn, cause.A) {
		if wires := explain.WiresAt(b.AsDrawn, pin); !moved[pin] && len(wires) > 0 {
			return fmt.Sprintf("%s to %s, which stays", b.name(b.AsDrawn.Far(wires[0], pin)), b.name(pin))
		}
	}
	l := landings[len(landings)-1]
	return fmt.Sprintf("%s to %s", b.name(b.AsDrawn.Far(l.Wire, l.At)), b.where(l.On))
}

// wiredPins counts the pins of a row that have wires.
func wiredPins(c *graphs.Circuit, p explain.Place) int {
	count := 0
	for _, pin := range explain.RowPins(c, p.A) {
		if len(explain.WiresAt(c, pin)) > 0 {
			count++
		}
	}
	return count
}

// movedFinding names a wire that ends on the terminal beside its own, under the
// rule that the join breaks: by what the wire brings along and what it meets. If
// it brings a load's terminal or nothing, it joins no two nets and is open.
func (e *evidence) movedFinding(cause explain.Cause) Finding {
	b := e.b
	far := b.AsDrawn.Far(cause.Element, cause.A)
	rule := e.ruleOfMove(cause.Place, far)
	d := b.draft(rule, Fault)
	d.blame(cause.Element).blameTerminals(cause.A, cause.B).terminals(far).nets(cause.A, cause.B)
	for _, rival := range cause.Rivals {
		e.blamePlace(d, rival.Place)
	}
	d.headed("%s sits on %s, and belongs on %s", b.elementName(cause.Element), b.name(cause.B), b.name(cause.A))
	message := fmt.Sprintf("%s ends at %s, and belongs on %s beside it.", b.elementName(cause.Element), b.name(cause.B), b.name(cause.A))
	if rule != nameOpen {
		message += fmt.Sprintf(" It joins %s and %s.", b.Net(far).Name, b.Net(cause.B).Name)
	}
	if e.deadOnly(cause.Place) {
		advice := fmt.Sprintf("Follow %s by eye at %s, nothing lifted; %s to %s joined and %s to %s not says the same. Whoever may work there moves it to %s, or the map is corrected if the machine is right.",
			b.elementName(cause.Element), b.device(cause.A), b.name(far), b.name(cause.B), b.name(far), b.name(cause.A), b.name(cause.A))
		return e.say(d, cause, message, e.caution(cause.Place, advice))
	}
	advice := fmt.Sprintf("Lift %s at %s: if the join from %s to %s is gone, and the wire's end then reads joined to %s, it is proven. Move it to %s and mark it, or correct the map if the machine is right.",
		b.elementName(cause.Element), b.device(cause.A), b.name(far), b.name(cause.B), b.name(far), b.name(cause.A))
	return e.say(d, cause, message, e.caution(cause.Place, advice))
}

// What a piece of a net has that others must not meet.
type holds struct{ rail, ground, earth, line, signal bool }

func (e *evidence) ruleOfMove(place explain.Place, far int) string {
	brings, meets := e.pieceAt(far, place.Element), e.pieceAt(place.B, place.Element)
	source := func(h holds) bool { return h.rail || h.ground || h.earth || h.line }
	switch {
	case brings.rail && meets.rail:
		return nameRailCross
	case brings.ground && meets.ground:
		return nameMixedGround
	case source(brings) && source(meets):
		return nameShort
	case (source(brings) || brings.signal) && (source(meets) || meets.signal):
		return nameShort
	default:
		return nameOpen
	}
}

// pieceAt says what metal joins to a terminal with one wire off.
func (e *evidence) pieceAt(terminal, without int) holds {
	b := e.b
	var h holds
	seen := map[int]bool{terminal: true}
	for queue := []int{terminal}; len(queue) > 0; {
		t := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		switch b.role(t) {
		case model.RoleRail:
			h.rail = true
		case model.RoleEarth:
			h.earth = true
		case model.RoleLine, model.RoleNeutral:
			h.line = true
		case model.RoleSignal, model.RoleDrive:
			h.signal = true
		}
		h.ground = h.ground || b.groundAt[t] >= 0
		for _, id := range b.AsDrawn.Incident(t) {
			if far := b.AsDrawn.Far(int(id), t); int(id) != without && b.AsDrawn.Elements[id].Joins() && !seen[far] {
				seen[far] = true
				queue = append(queue, far)
			}
		}
	}
	return h
}
