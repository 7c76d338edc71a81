package model

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestParseConditions(t *testing.T) {
	m := sample(t)
	// S1 has the marks 1-a, 2-b, 1 and a-2-b, and one link, from 1-a to 2-b: the
	// text is split where the link is.
	for text, want := range map[string]string{
		"":                               "",
		" ; ;":                           "",
		"unplugged S1":                   "unplugged S1",
		"lifted W-3":                     "lifted W-3",
		"open S1:1-a-2-b":                "open S1:1-a-2-b",
		"closed S1:2-b-1-a":              "closed S1:1-a-2-b",
		"clipped  G1:-  E1:2 G1:+":       "clipped E1:2 G1:+ G1:-",
		"clipped E1:2 E1:2 E1:1":         "clipped E1:1 E1:2",
		"unplugged S1;lifted W2":         "lifted W2; unplugged S1",
		"lifted W2; lifted W2":           "lifted W2",
		"lifted W2 ; lifted W1;":         "lifted W1; lifted W2",
		"open E1:1-2; closed S1:1-a-2-b": "closed S1:1-a-2-b; open E1:1-2",
	} {
		got, err := m.ParseConditions(text)
		if err != nil || got.String() != want {
			t.Errorf("%q: %q, %v; want %q", text, got, err, want)
		}
	}
	got, err := m.ParseConditions("open S1:1-a-2-b")
	if want := (Condition{Kind: ContactOpen, Device: "S1", From: "1-a", To: "2-b"}); err != nil || len(got) != 1 || got[0] != want {
		t.Errorf("got %+v, %v; want %+v", got, err, want)
	}
	for _, bad := range []string{"unplugged", "unplugged X9", "unplugged S1 E1", "lifted W9", "open S1", "open S1:1", "open S1:1-9", "open S1:1-a-2-c", "shut S1:1-2",
		"clipped G1:+", "clipped G1:+ G1:+", "clipped G1:+ X9:1", "open :1-2", "S1"} {
		if got, err := m.ParseConditions(bad); err == nil {
			t.Errorf("%q became %q", bad, got)
		}
	}
	before, _ := m.Wire("W1")
	green := before
	green.Colour = GreenYellow
	if err := m.Apply(Edit{Changes: []Change{{Before: before, After: green}}}); err != nil {
		t.Fatal(err)
	}
	if got, err := m.ParseConditions("lifted W2; lifted W1"); err == nil || !strings.Contains(err.Error(), "W1 is a protective conductor") {
		t.Errorf("a green-yellow wire: %q, %v", got, err)
	}
}

func drawConditions(t *rapid.T, m *Machine) Conditions {
	sorted := m.Sorted()
	var list []Condition
	for range rapid.IntRange(0, 5).Draw(t, "conditions") {
		switch kind := rapid.SampledFrom(ConditionKinds).Draw(t, "kind"); kind {
		case Unplugged:
			list = append(list, Condition{Kind: kind, Device: rapid.SampledFrom(sorted.Devices).Draw(t, "device").Ref})
		case Lifted:
			list = append(list, Condition{Kind: kind, Wire: rapid.SampledFrom(sorted.Wires).Draw(t, "wire").Name})
		case Clipped:
			var refs []string
			for range rapid.IntRange(2, 4).Draw(t, "clips") {
				refs = append(refs, rapid.SampledFrom(sorted.Terminals).Draw(t, "terminal").ID())
			}
			slices.SortFunc(refs, Compare)
			if refs = slices.Compact(refs); len(refs) > 1 {
				text := refs[0]
				for _, ref := range refs[1:] {
					text += " " + ref
				}
				list = append(list, Condition{Kind: kind, Terminals: text})
			}
		case Driven:
			outputs := slices.DeleteFunc(slices.Clone(sorted.Terminals), func(t Terminal) bool { return t.Role != RoleDrive })
			if len(outputs) > 0 {
				output := rapid.SampledFrom(outputs).Draw(t, "output")
				list = append(list, Condition{Kind: kind, Device: output.Device, From: output.Mark})
			}
		default:
			link := rapid.SampledFrom(sorted.Links).Draw(t, "link")
			if kind == ContactClosed && !link.Kind.Metal() {
				kind = ContactOpen
			}
			list = append(list, Condition{Kind: kind, Device: link.Device, From: link.From, To: link.To})
		}
	}
	if exclusive(list) != nil {
		list = list[:1]
	}
	return NewConditions(list...)
}

func TestConditionsThatCannotHoldTogether(t *testing.T) {
	m := sample(t)
	for _, text := range []string{"open S1:1-a-2-b; closed S1:1-a-2-b", "closed S1:1-a-2-b; unplugged S1", "closed E1:1-2"} {
		if got, err := m.ParseConditions(text); err == nil {
			t.Errorf("%q became %q; it cannot be", text, got)
		}
	}
	for _, text := range []string{"closed S1:1-a-2-b; unplugged E1", "open E1:1-2; unplugged E1", "open S1:1-a-2-b; open S1:1-a-2-b"} {
		if _, err := m.ParseConditions(text); err != nil {
			t.Errorf("%q: %v", text, err)
		}
	}
}

func TestConditionsReadWhatTheyPrint(t *testing.T) {
	m := sample(t)
	rapid.Check(t, func(t *rapid.T) {
		conditions := drawConditions(t, m)
		again, err := m.ParseConditions(conditions.String())
		if err != nil || !slices.Equal(again, conditions) {
			t.Fatalf("%q became %q, %v", conditions, again, err)
		}
		text, err := json.Marshal(conditions)
		if err != nil {
			t.Fatal(err)
		}
		var decoded Conditions
		if err := json.Unmarshal(text, &decoded); err != nil || !slices.Equal(decoded, conditions) {
			t.Fatalf("%s became %q, %v", text, decoded, err)
		}
	})
}

func FuzzParseConditions(f *testing.F) {
	for _, seed := range []string{"unplugged S1; open S1:1-a-2-b", "clipped G1:+ G1:- E1:1", "lifted W-3", "open S1:a-2-b-1", ";;", "closed S1:1-a-2-b;open E1:2-1"} {
		f.Add(seed)
	}
	m := sample(f)
	f.Fuzz(func(t *testing.T, text string) {
		conditions, err := m.ParseConditions(text)
		if err != nil {
			return
		}
		again, err := m.ParseConditions(conditions.String())
		if err != nil || !slices.Equal(again, conditions) {
			t.Errorf("%q became %q, and that %q, %v", text, conditions, again, err)
		}
		for _, condition := range conditions {
			if condition.Kind == Clipped && len(condition.ClippedRefs()) < 2 {
				t.Errorf("%q: %q joins nothing", text, condition)
			}
		}
	})
}
