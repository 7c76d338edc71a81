package find

import (
	"fmt"
	"strings"

	"bellout/graphs"
	"bellout/model"
)

// Suggestion is a condition that may be meant, as a file takes it, and where
// that is.
type Suggestion struct{ Text, Where string }

// Conditions lists at most most conditions for what was typed: `unp` and `J4`
// both lead to `unplugged J4`. Cost: linear in devices, wires and links.
func (x *Index) Conditions(text string, most int) []Suggestion {
	fields := strings.Fields(text)
	if len(fields) == 0 {
		return kinds("", most)
	}
	first, rest := strings.ToLower(fields[0]), fields[1:]
	kind, known := kindOf(first)
	if !known || len(rest) == 0 && !strings.HasSuffix(text, " ") && string(kind) != first {
		list := kinds(first, most)
		if len(list) > 0 {
			return list
		}
		return x.named(strings.Join(fields, " "), most)
	}
	if kind == model.Clipped {
		return x.clipped(rest, strings.HasSuffix(text, " "), most)
	}
	return x.within(kind, strings.ToLower(strings.Join(rest, " ")), most)
}

func kindOf(word string) (model.ConditionKind, bool) {
	for _, kind := range model.ConditionKinds {
		if word != "" && strings.HasPrefix(string(kind), word) {
			return kind, true
		}
	}
	return "", false
}

var kindWords = map[model.ConditionKind]string{
	model.Unplugged: "a connector is apart: unplugged J4", model.Lifted: "a wire hangs free at one end: lifted W12",
	model.ContactOpen: "a switch or fuse is held open: open S1:1-2", model.ContactClosed: "a switch is held closed: closed S1:1-2",
	model.Clipped: "clip leads join terminals: clipped T1:1 T1:2",
}

func kinds(prefix string, most int) []Suggestion {
	var list []Suggestion
	for _, kind := range model.ConditionKinds {
		if strings.HasPrefix(string(kind), prefix) && len(list) < most {
			list = append(list, Suggestion{string(kind) + " ", kindWords[kind]})
		}
	}
	return list
}

// named lists what can be done to what has a name.
func (x *Index) named(name string, most int) []Suggestion {
	var list []Suggestion
	for _, kind := range []model.ConditionKind{model.Unplugged, model.Lifted, model.ContactOpen, model.ContactClosed} {
		list = append(list, x.within(kind, strings.ToLower(name), most-len(list))...)
	}
	return list
}

// within lists the objects of one kind whose name, or else whose title, begins
// or has a word that begins with what was typed.
func (x *Index) within(kind model.ConditionKind, typed string, most int) []Suggestion {
	var begin, other []Suggestion
	ahead := len(kind) + 1
	for _, suggestion := range x.conditions[kind] {
		switch {
		case strings.HasPrefix(strings.ToLower(suggestion.Text[ahead:]), typed):
			begin = append(begin, suggestion)
		case len(other) < most && hasWord(suggestion.Where, typed):
			other = append(other, suggestion)
		}
		if len(begin) >= most {
			break
		}
	}
	list := append(begin, other...)
	return list[:min(max(most, 0), len(list))]
}

// suggestionsOf lists everything that can be done to a machine, by kind, in the
// natural order of the names; connectors before other devices, protective
// conductors not at all.
func suggestionsOf(m *model.Machine) map[model.ConditionKind][]Suggestion {
	all := map[model.ConditionKind][]Suggestion{}
	add := func(kind model.ConditionKind, name, where string) {
		all[kind] = append(all[kind], Suggestion{string(kind) + " " + name, where})
	}
	sorted := m.Sorted()
	for _, plugs := range []bool{true, false} {
		for _, device := range sorted.Devices {
			if (device.Kind == model.KindConnector) == plugs {
				add(model.Unplugged, device.Ref, joined(device.Title, device.Zone))
			}
		}
	}
	circuit := graphs.NewCircuit(sorted, nil)
	protective := circuit.Protective() // never lifted, never opened
	for row, wire := range sorted.Wires {
		if !wire.Removed && !protective[row] {
			add(model.Lifted, wire.Name, strings.TrimSpace(fmt.Sprintf("%s to %s %s", wire.From, wire.To, wire.Colour)))
		}
	}
	for row, link := range sorted.Links {
		device, _ := m.Device(link.Device)
		where := joined(string(link.Kind), device.Title)
		if link.Kind != model.LinkElectronic && !protective[circuit.LinkElement(row)] {
			add(model.ContactOpen, link.Place(), where)
		}
		if link.Kind.Metal() {
			add(model.ContactClosed, link.Place(), where)
		}
	}
	return all
}

// clipped completes the last terminal of a clip lead.
func (x *Index) clipped(typed []string, ended bool, most int) []Suggestion {
	done, last := typed, ""
	if !ended && len(typed) > 0 {
		done, last = typed[:len(typed)-1], typed[len(typed)-1]
	}
	var list []Suggestion
	for _, place := range x.Query(last, most) {
		words := append(append([]string{string(model.Clipped)}, done...), place.Text)
		list = append(list, Suggestion{strings.Join(words, " "), place.Where()})
	}
	return list
}

func hasWord(text, beginning string) bool {
	if beginning == "" {
		return false
	}
	for _, word := range split(text) {
		if strings.HasPrefix(word, beginning) {
			return true
		}
	}
	return false
}

func joined(parts ...string) string {
	var list []string
	for _, part := range parts {
		if part != "" {
			list = append(list, part)
		}
	}
	return strings.Join(list, ", ")
}
