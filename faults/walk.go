package faults

import (
	"fmt"
	"slices"
	"strings"

	"bellout/graphs"
	"bellout/model"
)

// compareTerminals orders terminals as people read references.
func (b *Bench) compareTerminals(one, other int) int {
	return model.CompareRefs(b.Drawn.Ref(one), b.Drawn.Ref(other))
}

// compareElements orders wires before links, each by name.
func (b *Bench) compareElements(one, other int) int {
	e, f := b.Drawn.Elements[one], b.Drawn.Elements[other]
	if (e.Kind == graphs.Wire) != (f.Kind == graphs.Wire) {
		if e.Kind == graphs.Wire {
			return -1
		}
		return 1
	}
	return model.Compare(b.elementName(one), b.elementName(other))
}

// elementName names a wire by its name and a link by its place, as in F1:1-2.
func (b *Bench) elementName(id int) string {
	e := b.Drawn.Elements[id]
	switch {
	case e.Kind == graphs.Wire:
		return b.Machine.Wires[e.Row].Name
	case e.Row >= 0:
		return b.Machine.Links[e.Row].Place()
	default:
		return "clip " + b.name(e.A) + " " + b.name(e.B)
	}
}

// shortest returns the way with the fewest elements from a terminal to one that
// is a goal, the nearest; among equals the one that comes first by name. Only
// elements that pass count.
func (b *Bench) shortest(c *graphs.Circuit, from int, pass func(id int) bool, goal func(t int) bool) (terminals, steps []int, found bool) {
	type origin struct{ terminal, element int }
	came := map[int]origin{from: {-1, -1}}
	for ring := []int{from}; len(ring) > 0; {
		at := -1
		for _, t := range ring {
			if goal(t) && (at < 0 || b.compareTerminals(t, at) < 0) {
				at = t
			}
		}
		if at >= 0 {
			for at != from {
				terminals, steps = append(terminals, at), append(steps, came[at].element)
				at = came[at].terminal
			}
			terminals = append(terminals, from)
			slices.Reverse(terminals)
			slices.Reverse(steps)
			return terminals, steps, true
		}
		var next []int
		for _, t := range ring {
			for _, id := range c.Incident(t) {
				if !pass(int(id)) {
					continue
				}
				far := c.Far(int(id), t)
				if _, seen := came[far]; !seen {
					came[far] = origin{t, int(id)}
					next = append(next, far)
				}
			}
		}
		ring = next
	}
	return nil, nil, false
}

// chainText writes a way as the builder walks it, the middle of a long one left
// out: G1:+, W1, F1:1-2, W7, G2:+.
func (b *Bench) chainText(terminals, steps []int) string {
	if len(terminals) == 0 {
		return ""
	}
	parts := []string{b.name(terminals[0])}
	for at, id := range steps {
		parts = append(parts, b.elementName(id))
		if at+1 == len(steps) || b.Drawn.Elements[id].Kind == graphs.Wire && b.Drawn.Elements[steps[at+1]].Kind == graphs.Wire {
			parts = append(parts, b.name(terminals[at+1]))
		}
	}
	const most = 15
	if len(parts) > most {
		left := len(parts) - most + 1
		parts = slices.Concat(parts[:most/2], []string{fmt.Sprintf("(%d more)", left)}, parts[most/2+left:])
	}
	return strings.Join(parts, ", ")
}

// culpritText names elements in a sentence.
func (b *Bench) culpritText(elements []int) string {
	names := make([]string, len(elements))
	for at, id := range elements {
		switch e := b.Drawn.Elements[id]; {
		case e.Kind == graphs.Wire:
			names[at] = fmt.Sprintf("wire %s (%s to %s)", b.elementName(id), b.name(e.A), b.name(e.B))
		default:
			names[at] = fmt.Sprintf("the %s %s", b.Machine.Links[e.Row].Kind, b.elementName(id))
		}
	}
	return listText(names, 4)
}
