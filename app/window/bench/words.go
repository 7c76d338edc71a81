package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bellout/faults"
	"bellout/faults/judge"
	"bellout/faults/nextprobe"
	"bellout/model"
)

// conditionWords say a condition as a person would.
func conditionWords(c model.Condition) string {
	switch c.Kind {
	case model.Unplugged:
		return c.Device + " is unplugged"
	case model.Lifted:
		return c.Wire + " is lifted"
	case model.ContactOpen:
		return fmt.Sprintf("%s:%s-%s is held open", c.Device, c.From, c.To)
	case model.ContactClosed:
		return fmt.Sprintf("%s:%s-%s is held closed", c.Device, c.From, c.To)
	}
	return strings.Join(strings.Fields(c.Terminals), " and ") + " are clipped together"
}

// conditionShort is a condition in a list.
func conditionShort(c model.Condition) string {
	switch c.Kind {
	case model.Unplugged:
		return c.Device + " unplugged"
	case model.Lifted:
		return c.Wire + " lifted"
	case model.ContactOpen, model.ContactClosed:
		return fmt.Sprintf("%s:%s-%s %s", c.Device, c.From, c.To, c.Kind)
	}
	return c.String()
}

// backWords say how a condition ends.
func backWords(c model.Condition) string {
	switch c.Kind {
	case model.Unplugged:
		return "plug " + c.Device + " in again"
	case model.Lifted:
		return "fasten " + c.Wire + " again"
	case model.ContactOpen, model.ContactClosed:
		return fmt.Sprintf("let go of %s:%s-%s", c.Device, c.From, c.To)
	}
	return "take the clip leads off " + strings.Join(strings.Fields(c.Terminals), " and ")
}

// goalWords say what a goal is for, on its button and in the heading.
func goalWords(goal nextprobe.Goal) (button, heading string) {
	switch goal {
	case nextprobe.Locate:
		return "Find the fault", "to find what is wrong"
	case nextprobe.Verify:
		return "Prove wires", "to prove the map"
	case nextprobe.Map:
		return "Find missing wires", "to find wires nobody wrote down"
	}
	return "Automatic", ""
}

// gainWords say in plain words how much a probe may tell. The bounds are for
// reading only: 1 bit halves what is open.
func gainWords(p *nextprobe.Proposal) string {
	var words string
	switch {
	case p.Confirms:
		words = "double-checks the place we found"
	case p.Goal == nextprobe.Locate && p.GainBits >= 0.8:
		words = "rules out about half of the suspects"
	case p.Goal == nextprobe.Locate && p.GainBits >= 0.4:
		words = "rules out about a third of the suspects"
	case p.Goal == nextprobe.Locate:
		words = "helps a little"
	case p.Goal == nextprobe.Map && p.GainBits < 0.1:
		words = "a long shot"
	case p.Goal == nextprobe.Map:
		words = "the likeliest partner"
	case len(p.Proves) > 1:
		words = fmt.Sprintf("one touch for %d wires", len(p.Proves))
	case len(p.Proves) == 1:
		words = "proves " + p.Proves[0]
	default:
		words = "a check"
	}
	return words
}

// shows says in a few words what a good machine's meter shows; sure is false
// where nobody can tell.
func shows(x faults.Expectation) (words string, sure bool) {
	switch x.Mode {
	case model.ModeVoltsDC, model.ModeDiode:
		return x.Shows, x.Known
	}
	switch {
	case !x.Known && math.IsInf(x.Ohms, 1):
		return "anything but metal", false
	case !x.Known:
		return judge.OhmsText(x.Ohms) + " or less", false
	case math.IsInf(x.Ohms, 1):
		return "silent, OL", true
	}
	return x.Shows + ", " + judge.OhmsText(x.Ohms), true
}

// throughWords say what lies between the tips, as in "through F1:1-2 and J2:3".
func (b *Bench) throughWords(x faults.Expectation) string {
	switch {
	case x.Mode == model.ModeVoltsDC:
		return "with the machine running"
	case !x.Known:
		return x.Words
	case math.IsInf(x.Ohms, 1):
		return "nothing joins the two"
	case len(x.Through) == 2:
		return b.alongWords(x.Through[0], x.Through[1])
	}
	var places []string
	inner := x.Through[min(1, len(x.Through)):max(len(x.Through)-1, min(1, len(x.Through)))]
	for i := 0; i < len(inner); i++ {
		from := i
		for i+1 < len(inner) && inner[i+1].Device == inner[from].Device {
			i++
		}
		place := inner[from].String()
		if i > from {
			place += "-" + inner[i].Mark
		}
		places = append(places, place)
	}
	return "through " + judge.ListText(places, 5)
}

// alongWords name the wires that join two terminals straight.
func (b *Bench) alongWords(one, other model.TerminalRef) string {
	var common []string
	for _, wire := range b.place(one).Wires {
		if slices.Contains(b.place(other).Wires, wire) {
			common = append(common, wire)
		}
	}
	if len(common) == 0 {
		return "within " + one.Device
	}
	return "along " + judge.ListText(common, 5)
}

// touchWords say a reading in one line.
func touchWords(r model.Reading) string {
	return fmt.Sprintf("%s to %s: %s", r.Red, r.Black, judge.ValueText(r))
}

// cautionLive goes with volts, at the moment at which they are written. Common
// practice; it stands in no place of a licensed person.
const cautionLive = "Volts are a live test, on the extra-low-voltage side only: one hand, shrouded probes, the return clipped first, nothing that can move. Never mains."
