package faults

import (
	"fmt"
	"slices"
	"strings"

	"bellout/faults/judge"
	"bellout/graphs"
)

// Words for what nobody opens for a test: protective conductors, and all of the
// mains side. What cannot be lifted is followed by eye.

// liftText says how to open elements for a test and what it means if the reading
// opens then. Those that are left in place are named as such.
func (b *Analysis) liftText(elements []int, meaning string) string {
	var wires, links, earths, mains []string
	for _, id := range elements {
		name := b.elementName(id)
		switch {
		case b.kept.Protective(id):
			earths = append(earths, name)
		case b.kept.Element(id):
			mains = append(mains, name)
		case b.isWire(id):
			wires = append(wires, name)
		default:
			links = append(links, name)
		}
	}
	var steps, text []string
	if len(wires) > 0 {
		steps = append(steps, "lift one end of "+judge.ListText(wires, 4))
	}
	if len(links) > 0 {
		steps = append(steps, "open "+judge.ListText(links, 4))
	}
	if len(steps) > 0 {
		text = append(text, fmt.Sprintf("%s and read again: open now means %s.", upperFirst(strings.Join(steps, ", ")), meaning))
	}
	if len(earths) > 0 {
		text = append(text, leaveEarth(earths))
	}
	if len(mains) > 0 {
		text = append(text, fmt.Sprintf("%s hangs on the mains: leave it, follow it by eye, the plug out; a licensed person takes it off.", judge.ListText(mains, 4)))
	}
	return strings.Join(text, " ")
}

// openable returns a text where nothing among elements has to be left in place.
func (b *Analysis) openable(elements []int, text string) string {
	if slices.ContainsFunc(elements, b.kept.Element) {
		return ""
	}
	return text
}

// leaveEarth says that protective conductors stay where they are.
func leaveEarth(names []string) string {
	be := "is a protective conductor or ends on one, and is not lifted"
	if len(names) > 1 {
		be = "are protective conductors or end on one, and are not lifted"
	}
	return fmt.Sprintf("%s %s, not even for a test: follow by eye. Whoever may work on protective earth puts right what is wrong there.", judge.ListText(names, 4), be)
}

// unplugText names a device that is unplugged: where a protective conductor ends at
// it, that stays on.
func (b *Analysis) unplugText(device string) string {
	if b.kept.Device(device) {
		return device + " (all but its earth, which stays on)"
	}
	return device
}

func (b *Analysis) unplugTexts(devices []string) []string {
	texts := make([]string, len(devices))
	for i, device := range devices {
		texts[i] = b.unplugText(device)
	}
	return texts
}

// deadOnly says whether places call for dead tests only: protective earth, and what
// hangs on line or neutral. Those below 0 count for nothing.
func (b *Analysis) deadOnly(elements, terminals []int) bool {
	onMains := func(t int) bool { return t >= 0 && (b.kept.Mains(t) || b.Net(t).Kind == graphs.NetEarth) }
	return slices.ContainsFunc(terminals, onMains) || slices.ContainsFunc(elements, func(id int) bool {
		return id >= 0 && (b.kept.Element(id) || onMains(b.AsDrawn.Elements[id].A) || onMains(b.AsDrawn.Elements[id].B))
	})
}
