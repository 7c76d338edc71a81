package scene

import (
	"bellout/app/drawing"
	"slices"
	"strings"

	"bellout/app/session"
	"bellout/model"
)

// Match is one thing that was found.
type Match struct {
	session.Selection
	Text string // what it is, as the list shows it
	More string // what tells it from others like it
	rank int
}

// maxMatches is how many are kept: a search of one letter finds everything.
const maxMatches = 200

// Find returns what words mean, the best first: references, terminals, wires and
// nets by name, devices by title and zone, wires by the code or the word of their
// colour. Each of several words must be found. Cost: one pass over the machine.
func (s *Scene) Find(words string) []Match {
	asked := strings.Fields(strings.ToLower(words))
	if len(asked) == 0 {
		return nil
	}
	var found []Match
	add := func(selection session.Selection, text, more string, name string, others ...string) {
		if rank, ok := rankOf(asked, name, others); ok {
			found = append(found, Match{selection, text, more, rank})
		}
	}
	m := s.view.Machine
	for i := range s.boxes {
		b := &s.boxes[i]
		if !b.here {
			continue
		}
		device, _ := m.Device(b.Device)
		add(session.Selection{Kind: session.Device, Name: b.Device}, b.Device, join(device.Title, device.Zone), b.Device, device.Title, device.Zone, string(device.Kind))
	}
	// Terminals only where a name is being typed: everything in a zone would
	// otherwise be found once for each of its pins.
	for i := range s.boxes {
		b := &s.boxes[i]
		for j := range b.ports {
			if ref := b.Ports[j].Terminal; b.here && b.ports[j].here && len(asked) == 1 {
				name := strings.ToLower(ref.String())
				if strings.HasPrefix(name, asked[0]) && strings.Contains(asked[0], ":") {
					add(session.Selection{Kind: session.Terminal, Name: ref.String()}, ref.String(), "terminal", ref.String())
				}
			}
		}
	}
	for i := range s.wires {
		w := &s.wires[i]
		if !w.here {
			continue
		}
		row, _ := m.Wire(s.Plan.Wires[i].Wire)
		add(session.Selection{Kind: session.Wire, Name: row.Name}, join(row.Name, string(row.Colour)), row.From.String()+" to "+row.To.String(),
			row.Name, string(row.Colour), drawing.ColourWords(row.Colour), row.Cable, row.From.String(), row.To.String())
	}
	for i := range s.nets.List {
		net := &s.nets.List[i]
		if len(net.Terminals) < 2 {
			continue
		}
		add(session.Selection{Kind: session.Net, Name: m.Terminals[net.Terminals[0]].Ref().String()}, net.Name, netWords(net), net.Name, "net")
	}
	slices.SortStableFunc(found, func(a, b Match) int {
		if a.rank != b.rank {
			return a.rank - b.rank
		}
		if a.Kind != b.Kind {
			return findOrder[a.Kind] - findOrder[b.Kind]
		}
		return model.Compare(a.Text, b.Text)
	})
	return found[:min(len(found), maxMatches)]
}

var findOrder = map[session.Kind]int{session.Device: 0, session.Net: 1, session.Terminal: 2, session.Wire: 3}

// rankOf says how well all of the words are met: 0 where the name is the word, 1
// where it begins with it, 2 where a word of the other texts does, 3 where one
// holds it. False where some word is not met.
func rankOf(asked []string, name string, others []string) (int, bool) {
	name = strings.ToLower(name)
	worst := 0
	for _, word := range asked {
		rank := 9
		switch {
		case name == word:
			rank = 0
		case strings.HasPrefix(name, word):
			rank = 1
		}
		for _, other := range others {
			if rank <= 2 {
				break
			}
			other = strings.ToLower(other)
			for part := range strings.FieldsFuncSeq(other, func(r rune) bool { return r == ' ' || r == ',' || r == '-' }) {
				if strings.HasPrefix(part, word) {
					rank = 2
				}
			}
			if rank > 3 && len(word) > 2 && strings.Contains(other, word) {
				rank = 3
			}
		}
		if rank > 3 {
			return 0, false
		}
		worst = max(worst, rank)
	}
	return worst, true
}

func join(parts ...string) string {
	kept := parts[:0:0]
	for _, part := range parts {
		if part != "" {
			kept = append(kept, part)
		}
	}
	return strings.Join(kept, " · ")
}
