package changes

import (
	"fmt"
	"slices"
	"strings"

	"bellout/faults/judge"
	"bellout/model"
	"bellout/model/compare"
	"bellout/model/wording"
)

// groupsOf puts a comparison into words: wires first, since they are what was
// worked on.
func groupsOf(c *compare.Comparison, before, after *model.Machine) []Group {
	groups := []Group{}
	add := func(name, title string, entries []Entry) {
		if len(entries) > 0 {
			groups = append(groups, Group{name, title, entries})
		}
	}
	add("wires_added", "Wires added", each(c.Wires.Added, func(w model.Wire) Entry { return wireEntry(w, wireWords(after, w)) }))
	add("wires_removed", "Wires removed", each(c.Wires.Removed, func(w model.Wire) Entry { return wireEntry(w, wireWords(before, w)) }))
	add("wires_moved", "Wires moved", each(c.Wires.Moved, movedEntry))
	add("wires_changed", "Wires changed", each(c.Wires.Changed, func(p compare.Pair[model.Wire]) Entry {
		return wireEntry(p.After, p.After.Name+" "+ends(p.After)+": "+fields(p.Fields))
	}))
	add("wires_renamed", "Wires renamed", each(c.Wires.Renamed, func(p compare.Pair[model.Wire]) Entry {
		return wireEntry(p.After, fmt.Sprintf("%s is now %s, %s", p.Before.Name, p.After.Name, ends(p.After)))
	}))
	add("wires_noted", "Wires that are out of the machine before and after", append(append(
		each(c.Wires.Noted.Added, func(w model.Wire) Entry { return wireEntry(w, w.Name+" "+ends(w)+", noted as removed") }),
		each(c.Wires.Noted.Removed, func(w model.Wire) Entry { return wireEntry(w, w.Name+" "+ends(w)+", no longer noted") })...),
		each(c.Wires.Noted.Changed, func(p compare.Pair[model.Wire]) Entry {
			return wireEntry(p.After, p.After.Name+": "+fields(p.Fields))
		})...))

	replaced, changed := c.Devices.Replaced, []compare.Pair[model.Device]{}
	for _, p := range c.Devices.Changed {
		if wasReplaced(p.Before, p.After) {
			replaced = append(slices.Clip(replaced), p)
		} else {
			changed = append(changed, p)
		}
	}
	slices.SortFunc(replaced, func(a, b compare.Pair[model.Device]) int { return model.Compare(a.After.Ref, b.After.Ref) })
	differs := func(p compare.Pair[model.Device]) Entry {
		return deviceEntry(p.After, called(p.After)+": "+fields(p.Fields))
	}
	add("devices_replaced", "Devices replaced or put right", each(replaced, differs))
	add("devices_added", "Devices added", each(c.Devices.Added, func(d model.Device) Entry { return deviceEntry(d, called(d)+zone(d)) }))
	add("devices_removed", "Devices removed", each(c.Devices.Removed, func(d model.Device) Entry { return deviceEntry(d, called(d)+zone(d)) }))
	add("devices_changed", "Devices changed", each(changed, differs))

	add("readings_no_longer_hold", "Readings that no longer hold: their path was edited since", each(c.Readings.Stale, readingEntry))
	add("readings_struck", "Readings struck out", each(c.Readings.Struck, func(r model.Reading) Entry {
		e := readingEntry(r)
		e.Words += ": " + r.Struck
		return e
	}))
	add("readings_stood", "Readings that stand again", each(c.Readings.Stood, readingEntry))
	add("readings_gone", "Readings that are no longer there", each(c.Readings.Gone, readingEntry))
	add("readings_added", "Readings taken", each(c.Readings.Added, readingEntry))

	add("terminals", "Terminals", rows(c.Terminals, func(t model.Terminal) Entry {
		return Entry{Name: t.Ref().String(), Words: terminalWords(t), Device: t.Device, Terminals: []string{t.Ref().String()}}
	}))
	add("links", "Links inside devices", rows(c.Links, func(l model.Link) Entry {
		return Entry{Name: l.Place(), Words: linkWords(l), Device: l.Device, Terminals: []string{l.FromRef().String(), l.ToRef().String()}}
	}))
	add("bonds", "Bonds", rows(c.Bonds, func(b model.Bond) Entry {
		words := fmt.Sprintf("%s with %s", b.From, b.To)
		if b.Reason != "" {
			words += ", " + b.Reason
		}
		return Entry{Name: fmt.Sprintf("%s %s", b.From, b.To), Words: words, Terminals: []string{b.From.String(), b.To.String()}}
	}))
	add("history", "History of devices", rows(c.History, func(e model.Event) Entry {
		return Entry{Name: e.ID(), Words: e.String(), Device: e.Device}
	}))
	add("settings", "Settings", rows(c.Settings, func(s model.Setting) Entry { return Entry{Name: s.Key, Words: s.Key + " " + s.Value} }))
	add("photos", "Photos", rows(c.Photos, func(p model.Photo) Entry {
		return Entry{Name: p.ID(), Words: strings.TrimSpace("a photo of " + p.Device + " " + p.Caption), Device: p.Device}
	}))
	add("templates", "Templates of your own", rows(c.Templates, func(t model.Template) Entry { return Entry{Name: t.Name, Words: t.Name} }))
	add("places", "Places on the chart", placesOf(c.Places))
	return groups
}

func each[T any](list []T, entry func(T) Entry) []Entry {
	out := make([]Entry, len(list))
	for i, row := range list {
		out[i] = entry(row)
	}
	return out
}

// rows puts what became of the rows of a table into one group.
func rows[T model.Row](r compare.Rows[T], entry func(T) Entry) []Entry {
	out := each(r.Added, func(row T) Entry { return marked("added: ", entry(row)) })
	out = append(out, each(r.Removed, func(row T) Entry { return marked("removed: ", entry(row)) })...)
	return append(out, each(r.Changed, func(p compare.Pair[T]) Entry {
		e := entry(p.After)
		e.Words = e.Name + ": " + fields(p.Fields)
		return e
	})...)
}

func marked(word string, e Entry) Entry {
	e.Words = word + e.Words
	return e
}

// placesOf counts boxes that were shifted: what is no wiring takes one line.
func placesOf(r compare.Rows[model.Place]) []Entry {
	count := len(r.Added) + len(r.Removed) + len(r.Changed)
	if count == 0 {
		return nil
	}
	return []Entry{{Name: "places", Words: wording.Count(count, "device") + " placed elsewhere"}}
}

func wireEntry(w model.Wire, words string) Entry {
	return Entry{Name: w.Name, Words: words, Wires: []string{w.Name}, Terminals: []string{w.From.String(), w.To.String()}}
}

func movedEntry(p compare.Pair[model.Wire]) Entry {
	words := p.After.Name + ": was " + ends(p.Before) + ", is " + ends(p.After)
	rest := []model.FieldChange{}
	for _, f := range p.Fields {
		if f.Field != "from" && f.Field != "to" {
			rest = append(rest, f)
		}
	}
	if len(rest) > 0 {
		words += "; " + fields(rest)
	}
	e := wireEntry(p.After, words)
	e.Terminals = append(e.Terminals, p.Before.From.String(), p.Before.To.String())
	return e
}

func deviceEntry(d model.Device, words string) Entry {
	return Entry{Name: d.Ref, Words: words, Device: d.Ref}
}

func readingEntry(r model.Reading) Entry {
	words := fmt.Sprintf("%d  %s %s %s", r.Number, r.Red, r.Black, judge.ValueText(r))
	if len(r.Conditions) > 0 {
		words += ", " + r.Conditions.String()
	}
	return Entry{Name: fmt.Sprint(r.Number), Words: words, Terminals: []string{r.Red.String(), r.Black.String()}}
}

// wireWords is a wire in one line: name, ends, colour, gauge, length.
func wireWords(m *model.Machine, w model.Wire) string {
	words := w.Name + " " + ends(w)
	for _, part := range []string{string(w.Colour), w.Gauge.String()} {
		if part != "" {
			words += ", " + part
		}
	}
	if w.LengthMetres.Known {
		words += ", " + w.LengthMetres.String() + " m"
	}
	return words
}

func ends(w model.Wire) string { return w.From.String() + " - " + w.To.String() }

func called(d model.Device) string {
	if d.Title == "" {
		return d.Ref
	}
	return d.Ref + " " + d.Title
}

func zone(d model.Device) string {
	if d.Zone == "" {
		return ""
	}
	return ", " + d.Zone
}

func terminalWords(t model.Terminal) string {
	words := t.Ref().String()
	if t.Role != model.RoleUnknown {
		words += ", " + string(t.Role)
	}
	if t.Volts.Known {
		words += ", " + t.Volts.String() + " V"
	}
	return words
}

func linkWords(l model.Link) string {
	words := fmt.Sprintf("%s, %s", l.Place(), l.Kind)
	if l.Value.Known {
		words += " " + l.Value.String()
	}
	if l.State != model.StateUnknown {
		words += ", " + string(l.State)
	}
	return words
}

// fields says what changed in a row, column by column.
func fields(list []model.FieldChange) string {
	words := make([]string, len(list))
	for i, f := range list {
		words[i] = fmt.Sprintf("%s %s, was %s", f.Field, orNothing(f.After), orNothing(f.Before))
	}
	return strings.Join(words, "; ")
}

func orNothing(text string) string {
	if text == "" {
		return "empty"
	}
	return text
}
