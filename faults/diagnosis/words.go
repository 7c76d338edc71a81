package diagnosis

import (
	"fmt"

	"bellout/graphs"
	"bellout/model"
)

// Text says what a hypothesis claims, in a few words that name the part and the
// place: "W30 is open", "F3 is blown", "G6 gives too little".
func (l *Live) Text(h Hypothesis) string {
	m := l.Circuit.Machine
	device := ""
	if h.At >= 0 {
		device = m.Terminals[h.At].Device
	}
	switch h.Kind {
	case ElementOpen:
		return l.openText(h.Element)
	case ElementHigh:
		return fmt.Sprintf("%s has a bad joint (about %s ohm)", l.elementName(h.Element), model.Figures(h.Size))
	case ElementClose:
		return l.elementName(h.Element) + " is welded: it never opens"
	case PartShort:
		return l.elementName(h.Element) + " is shorted"
	case PartValue:
		return fmt.Sprintf("%s has about %s ohm", l.elementName(h.Element), model.Figures(h.partOhms(l.Circuit)))
	case LoadOpen:
		return device + " has failed: it does nothing with its own volts"
	case LoadShort:
		return device + " is shorted inside" + l.blownText(h)
	case Touch:
		return fmt.Sprintf("%s touches %s%s", l.Circuit.Ref(h.At), l.Circuit.Ref(h.To), l.blownText(h))
	case SupplyDead:
		return device + " gives nothing"
	case SupplyLow:
		return device + " gives too little"
	case SupplyHigh:
		return device + " gives too much"
	case SupplyRipple:
		return device + " ripples"
	case StuckOn:
		return fmt.Sprintf("output %s is stuck on", l.Circuit.Ref(h.At))
	case StuckOff:
		return fmt.Sprintf("output %s never switches on", l.Circuit.Ref(h.At))
	case DiodeOpen, DiodeShort, DiodeTurned:
		return l.elementName(h.Element) + map[Kind]string{DiodeOpen: " is open", DiodeShort: " is shorted", DiodeTurned: " is fitted the wrong way round"}[h.Kind]
	case NoPower:
		return "no mains comes in"
	}
	return h.Name
}

func (l *Live) blownText(h Hypothesis) string {
	if h.Blown < 0 {
		return ""
	}
	return " and has blown " + l.Circuit.Machine.Terminals[l.Circuit.Elements[h.Blown].A].Device
}

func (l *Live) openText(id int) string {
	e := l.Circuit.Elements[id]
	switch e.Kind {
	case graphs.Wire:
		return fmt.Sprintf("%s is open between %s and %s", l.elementName(id), l.Circuit.Ref(e.A), l.Circuit.Ref(e.B))
	case graphs.Fuse:
		return l.elementName(id) + " is blown or out"
	case graphs.Contact:
		return l.elementName(id) + " does not close"
	}
	return l.elementName(id) + " is open"
}

// elementName names a wire by its name, the only link of a device by the device,
// and another link by its place.
func (l *Live) elementName(id int) string {
	m, e := l.Circuit.Machine, l.Circuit.Elements[id]
	if e.Kind == graphs.Wire {
		return m.Wires[e.Row].Name
	}
	return m.LinkName(m.Links[e.Row])
}

// Texts says what a diagnosis claims, the likeliest part first; of the empty one
// that nothing is wrong but what was seen.
func (l *Live) Texts(set []Hypothesis) string {
	if len(set) == 0 {
		return "nothing is wrong with the wiring or the parts"
	}
	text := ""
	for i, h := range set {
		if i > 0 {
			text += ", and "
		}
		text += l.Text(h)
	}
	return text
}

// Shows says what an outcome of an act looks like.
func (o Outcome) Shows(mode model.Mode) string {
	switch {
	case o.Word != "":
		return string(o.Word)
	case mode == model.ModeOhms && o.Volts >= openOhms:
		return "OL"
	case mode == model.ModeOhms:
		return "about " + model.MeterFigures(o.Volts) + " ohm"
	case o.Floats:
		return "nothing steady"
	case mode == model.ModeVoltsAC:
		return "about " + model.MeterFigures(o.Volts) + " V AC"
	}
	return "about " + model.MeterFigures(o.Volts) + " V"
}
