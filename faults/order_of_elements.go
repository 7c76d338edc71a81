package faults

import (
	"fmt"
	"slices"
	"strings"

	"bellout/faults/judge"
	"bellout/graphs"
	"bellout/model"
)

// compareTerminals orders terminals as people read references.
func (b *Analysis) compareTerminals(one, other int) int {
	return model.CompareRefs(b.AsDrawn.Ref(one), b.AsDrawn.Ref(other))
}

// compareElements orders wires before links, each by name.
func (b *Analysis) compareElements(one, other int) int {
	e, f := b.AsDrawn.Elements[one], b.AsDrawn.Elements[other]
	if (e.Kind == graphs.Wire) != (f.Kind == graphs.Wire) {
		if e.Kind == graphs.Wire {
			return -1
		}
		return 1
	}
	if order := model.Compare(b.elementName(one), b.elementName(other)); order != 0 || e.Row < 0 || f.Row < 0 || e.Kind == graphs.Wire {
		return order
	}
	return model.Compare(b.Machine.Links[e.Row].ID(), b.Machine.Links[f.Row].ID())
}

// elementName names a wire by its name and a link by its place, as in F1:1-2.
func (b *Analysis) elementName(id int) string {
	e := b.AsDrawn.Elements[id]
	switch {
	case e.Kind == graphs.Wire:
		return b.Machine.Wires[e.Row].Name
	case e.Row >= 0:
		return b.Machine.Links[e.Row].Place()
	case e.Kind == graphs.Joined:
		return b.Machine.Wires[id].Name
	default:
		return "clip " + b.name(e.A) + " " + b.name(e.B)
	}
}

// shortest returns the way with the fewest elements from a terminal to one that
// is a goal, the nearest; among equals the one that comes first by name. Only
// elements that pass count.
func (b *Analysis) shortest(c *graphs.Circuit, from int, pass func(id int) bool, goal func(t int) bool) (terminals, steps []int, found bool) {
	s := newSpread(from)
	for len(s.ring) > 0 {
		at := -1
		for _, t := range s.ring {
			if goal(t) && (at < 0 || b.compareTerminals(t, at) < 0) {
				at = t
			}
		}
		if at >= 0 {
			for at != from {
				terminals, steps = append(terminals, at), append(steps, s.by[at])
				at = c.Far(s.by[at], at)
			}
			terminals = append(terminals, from)
			slices.Reverse(terminals)
			slices.Reverse(steps)
			return terminals, steps, true
		}
		b.spread(s, c, pass)
	}
	return nil, nil, false
}

// spread is a walk outwards from one terminal, ring after ring.
type spread struct {
	by   map[int]int // by terminal: the element that leads to it from the ring before; -1 at the start
	ring []int
}

func newSpread(from int) *spread { return &spread{by: map[int]int{from: -1}, ring: []int{from}} }

// spread goes one ring further. Of several elements that lead to a terminal it
// takes the first by name, so that the order of the map's rows means nothing.
func (b *Analysis) spread(s *spread, c *graphs.Circuit, pass func(id int) bool) {
	var next []int
	fresh := map[int]bool{}
	for _, t := range s.ring {
		for _, id := range c.Incident(t) {
			far := c.Far(int(id), t)
			known, seen := s.by[far]
			switch {
			case seen && (!fresh[far] || known == int(id)), !pass(int(id)):
			case !seen:
				s.by[far] = int(id)
				fresh[far] = true
				next = append(next, far)
			case b.compareElements(int(id), known) < 0:
				s.by[far] = int(id)
			}
		}
	}
	s.ring = next
}

// chainText writes a way as the builder walks it, the middle of a long one left
// out: G1:+, W1, F1:1-2, W7, G2:+.
func (b *Analysis) chainText(terminals, steps []int) string {
	if len(terminals) == 0 {
		return ""
	}
	parts := []string{b.name(terminals[0])}
	for at, id := range steps {
		parts = append(parts, b.elementName(id))
		if at+1 == len(steps) || b.AsDrawn.Elements[id].Kind == graphs.Wire && b.AsDrawn.Elements[steps[at+1]].Kind == graphs.Wire {
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
func (b *Analysis) culpritText(elements []int) string {
	names := make([]string, len(elements))
	for at, id := range elements {
		switch e := b.AsDrawn.Elements[id]; {
		case e.Kind == graphs.Wire:
			names[at] = fmt.Sprintf("wire %s (%s to %s)", b.elementName(id), b.name(e.A), b.name(e.B))
		case e.Kind == graphs.Joined:
			names[at] = fmt.Sprintf("%s, which the meter found from %s to %s", b.elementName(id), b.name(e.A), b.name(e.B))
		default:
			names[at] = fmt.Sprintf("the %s %s", b.Machine.Links[e.Row].Kind, b.elementName(id))
		}
	}
	return judge.ListText(names, 4)
}
