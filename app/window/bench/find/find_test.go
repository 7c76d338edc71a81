package find

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bellout/assets"
	"bellout/model"
	"bellout/model/sample"
	"bellout/model/tables"
)

func demo(t testing.TB) *model.Machine {
	t.Helper()
	content, err := tables.ReadFS(t.Context(), assets.Demo(assets.AsFound), "the demo machine")
	if err != nil {
		t.Fatal(err)
	}
	m := model.NewMachine()
	edit, err := content.EditFor(m)
	if err != nil {
		t.Fatal(err)
	}
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	return m
}

func TestWhatIsTypedFindsTheTerminal(t *testing.T) {
	x := New(demo(t))
	for _, c := range []struct{ name, typed, first string }{
		{"a whole reference", "G1:+", "G1:+"},
		{"lower case", "g1:+", "G1:+"},
		{"a beginning", "j6:a", "J6:A1"},
		{"without the colon", "j6a2", "J6:A2"},
		{"the device alone, before those that begin so", "x1", "X1:L"},
		{"a zone and a mark", "gate house gnd", "B5:GND"},
		{"a colour of wire, in words, at a device", "b5 black", "B5:GND"},
		{"a colour in letters", "b5 bk", "B5:GND"},
		{"a wire's name", "W130", "E6:-"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := x.Query(c.typed, 5)
			if len(got) == 0 || got[0].Text != c.first {
				t.Errorf("%q finds %v, want %s first", c.typed, got, c.first)
			}
		})
	}
}

// TestEveryTerminalIsFoundByItsOwnName is the law of completion: a reference
// that is typed whole comes first, and each beginning of it lists nothing that
// does not begin so before something that does.
func TestEveryTerminalIsFoundByItsOwnName(t *testing.T) {
	m := demo(t)
	x := New(m)
	rapid.Check(t, func(t *rapid.T) {
		ref := rapid.SampledFrom(m.Terminals).Draw(t, "terminal").ID()
		if got := x.Query(ref, 3); len(got) == 0 || got[0].Text != ref {
			t.Fatalf("%q finds %v first", ref, got)
		}
		part := strings.ToLower(ref[:rapid.IntRange(1, len(ref)).Draw(t, "typed")])
		other := false
		for _, place := range x.Query(part, 50) {
			begins := strings.HasPrefix(strings.ToLower(place.Text), part)
			if begins && other {
				t.Fatalf("%q: %s comes after one that does not begin so", part, place.Text)
			}
			other = other || !begins
		}
	})
}

func TestEveryWordOfAPlaceNarrows(t *testing.T) {
	m := demo(t)
	x := New(m)
	rapid.Check(t, func(t *rapid.T) {
		place := rapid.SampledFrom(x.places).Draw(t, "place")
		words := append(split(place.Title), split(place.Zone)...)
		if len(words) == 0 {
			return
		}
		word := rapid.SampledFrom(words).Draw(t, "word")
		typed := place.Ref.Device + " " + word
		for _, found := range x.Query(typed, x.Len()) {
			if found.Ref == place.Ref {
				return
			}
		}
		t.Fatalf("%q does not find %s", typed, place.Text)
	})
}

func TestAReferenceThatIsNotThereHasNeighbours(t *testing.T) {
	x := New(demo(t))
	if near := x.Near("G1:*", 3); len(near) == 0 || !strings.HasPrefix(near[0], "G1:") {
		t.Errorf("near G1:* are %v, want terminals of G1", near)
	}
	if near := x.Near("zzzzzzzzzz", 3); len(near) != 0 {
		t.Errorf("near nothing at all are %v", near)
	}
}

func TestALeadWalksAlongItsConnector(t *testing.T) {
	x := New(demo(t))
	ref := model.TerminalRef{Device: "J6", Mark: "A1"}
	next := x.After(ref, 4)
	if len(next) == 0 || next[0].Text != "J6:A2" {
		t.Errorf("after J6:A1 come %v, want J6:A2 first", next)
	}
	for _, place := range next {
		if place.Ref.Device != "J6" {
			t.Errorf("%s is on another device", place.Text)
		}
	}
}

func TestMainsIsKnown(t *testing.T) {
	x := New(demo(t))
	for text, want := range map[string]bool{"X1:L": true, "X1:N": true, "G1:+": false, "J6:A1": false} {
		ref, _ := model.ParseTerminalRef(text)
		if got, _ := x.Place(ref); got.Mains != want {
			t.Errorf("%s on the mains side: %v, want %v", text, got.Mains, want)
		}
	}
}

func FuzzQuery(f *testing.F) {
	for _, seed := range []string{"g1:+", "  ", "pin", "x:::", "\x00\xff", "gate house", "İ"} {
		f.Add(seed)
	}
	x := New(sample.Machine(1, 600))
	f.Fuzz(func(t *testing.T, typed string) {
		seen := map[model.TerminalRef]bool{}
		for _, place := range x.Query(typed, 9) {
			if seen[place.Ref] {
				t.Errorf("%q lists %s twice", typed, place.Text)
			}
			seen[place.Ref] = true
		}
		x.Near(typed, 3)
	})
}
