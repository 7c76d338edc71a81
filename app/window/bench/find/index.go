// Package find looks terminals up while a person types: by DEVICE:TERMINAL, and
// by what stands beside it on the machine, its title, its zone, the colours of
// its wires, its net. It knows no window.
package find

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"bellout/app/drawing"
	"bellout/graphs"
	"bellout/model"
)

// Place is one terminal, and how a person finds it on the machine.
type Place struct {
	Ref   model.TerminalRef
	Text  string // the reference
	Title string // of its device
	Zone  string
	Wires []string // as in "W12 RD", in the order of their names
	Net   string
	// Mains is true where a net of line, neutral or protective earth holds it: it
	// is probed dead, or not at all.
	Mains bool
}

// Where says in words where the terminal is: title, zone, wires.
func (p Place) Where() string {
	text := p.Title
	if !strings.Contains(strings.ToLower(p.Title), strings.ToLower(p.Zone)) { // many a title says the zone
		text = joined(p.Title, p.Zone)
	}
	const most = 2
	wires := p.Wires
	if len(wires) > most {
		wires = append(slices.Clone(wires[:most]), fmt.Sprintf("%d more", len(p.Wires)-most))
	}
	if len(wires) > 0 {
		if text != "" {
			text += " · "
		}
		text += strings.Join(wires, ", ")
	}
	return text
}

// Index finds the terminals of one machine. It does not change.
type Index struct {
	places  []Place // in the natural order of their references
	at      map[model.TerminalRef]int
	refs    keyed // DEVICE:TERMINAL in lower case
	compact keyed // the same without what is between letters and digits
	words   []string
	holding [][]int32          // for each word, the places that it stands beside
	kinds   map[string][]int32 // those on devices of a kind, or with a title that is just that

	conditions map[model.ConditionKind][]Suggestion
}

// keyed is a list of keys in byte order, each with its place.
type keyed struct {
	keys   []string
	places []int32
}

// New makes the index of a machine. Cost: nearly linear in terminals and wires.
func New(m *model.Machine) *Index {
	x := &Index{places: make([]Place, len(m.Terminals)), at: make(map[model.TerminalRef]int, len(m.Terminals))}
	x.conditions = suggestionsOf(m)
	circuit := graphs.NewCircuit(m, nil)
	nets, kept := circuit.Nets(), circuit.LeftInPlace()
	wires := map[model.TerminalRef][]model.Wire{}
	for _, wire := range m.Wires {
		if !wire.Removed {
			wires[wire.From] = append(wires[wire.From], wire)
			wires[wire.To] = append(wires[wire.To], wire)
		}
	}
	for i, terminal := range m.Terminals {
		ref := terminal.Ref()
		device, _ := m.Device(ref.Device)
		kind := nets.Kind(i)
		place := Place{
			Ref: ref, Text: ref.String(), Title: device.Title, Zone: device.Zone,
			Net: nets.Name(i), Mains: kept.Mains(i) || kind == graphs.NetEarth,
		}
		slices.SortFunc(wires[ref], func(a, b model.Wire) int { return model.Compare(a.Name, b.Name) })
		for _, wire := range wires[ref] {
			place.Wires = append(place.Wires, strings.TrimSpace(wire.Name+" "+string(wire.Colour)))
		}
		x.places[i] = place
	}
	slices.SortFunc(x.places, func(a, b Place) int { return model.CompareRefs(a.Ref, b.Ref) })
	holding := map[string][]int32{}
	x.kinds = map[string][]int32{}
	for i, place := range x.places {
		x.at[place.Ref] = i
		x.refs.add(strings.ToLower(place.Text), i)
		x.compact.add(squeeze(place.Text), i)
		device, _ := m.Device(place.Ref.Device)
		for _, name := range namesOf(device) {
			x.kinds[name] = append(x.kinds[name], int32(i))
		}
		for _, word := range wordsOf(place, wires[place.Ref]) {
			if list := holding[word]; len(list) == 0 || list[len(list)-1] != int32(i) {
				holding[word] = append(list, int32(i))
			}
		}
	}
	x.refs.sort()
	x.compact.sort()
	for word := range holding {
		x.words = append(x.words, word)
	}
	slices.Sort(x.words)
	for _, word := range x.words {
		x.holding = append(x.holding, holding[word])
	}
	return x
}

// Len is how many terminals there are.
func (x *Index) Len() int { return len(x.places) }

// Place returns what is known of a terminal; false if the machine has no such.
func (x *Index) Place(ref model.TerminalRef) (Place, bool) {
	at, there := x.at[ref]
	if !there {
		return Place{}, false
	}
	return x.places[at], true
}

// After returns the terminals that follow one on its device, and then those
// before it: where a lead that walks along a connector goes next.
func (x *Index) After(ref model.TerminalRef, most int) []Place {
	at, there := x.at[ref]
	if !there {
		return nil
	}
	var after, before []Place
	for i := at + 1; i < len(x.places) && x.places[i].Ref.Device == ref.Device; i++ {
		after = append(after, x.places[i])
	}
	for i := at - 1; i >= 0 && x.places[i].Ref.Device == ref.Device; i-- {
		before = append(before, x.places[i])
	}
	list := append(after, before...)
	return list[:min(most, len(list))]
}

func (k *keyed) add(key string, place int) {
	k.keys = append(k.keys, key)
	k.places = append(k.places, int32(place))
}

func (k *keyed) sort() {
	order := make([]int32, len(k.keys))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(a, b int32) int { return strings.Compare(k.keys[a], k.keys[b]) })
	keys, places := make([]string, len(order)), make([]int32, len(order))
	for i, at := range order {
		keys[i], places[i] = k.keys[at], k.places[at]
	}
	k.keys, k.places = keys, places
}

// wordsOf lists what a terminal is found by beside its reference, in lower case.
func wordsOf(place Place, wires []model.Wire) []string {
	words := append(split(place.Title), split(place.Zone)...)
	words = append(words, strings.ToLower(place.Ref.Device), strings.ToLower(place.Ref.Mark), strings.ToLower(place.Text))
	words = append(words, strings.Fields(strings.ToLower(place.Net))...)
	for _, wire := range wires {
		words = append(words, strings.ToLower(wire.Name), strings.ToLower(string(wire.Colour)))
		words = append(words, strings.Split(drawing.ColourWords(wire.Colour), "-")...)
		words = append(words, split(wire.Cable)...)
	}
	slices.Sort(words)
	words = slices.Compact(words)
	return slices.DeleteFunc(words, func(word string) bool { return word == "" })
}

// namesOf are what a person calls a device without its reference: its kind and
// its title, in lower case.
func namesOf(device model.Device) []string {
	kind, title := strings.ToLower(string(device.Kind)), strings.ToLower(device.Title)
	switch {
	case kind == "":
		return []string{title}
	case title == "" || title == kind:
		return []string{kind}
	}
	return []string{kind, title}
}

// split takes a text apart into words of letters and digits, in lower case.
func split(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '+' && r != '-' && r != '.'
	})
}

// squeeze leaves the letters, digits and signs of a reference, in lower case.
func squeeze(text string) string {
	return strings.Map(func(r rune) rune {
		if r == ':' || r == '.' || r == '_' || unicode.IsSpace(r) {
			return -1
		}
		return unicode.ToLower(r)
	}, text)
}
