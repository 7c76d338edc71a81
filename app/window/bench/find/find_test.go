package find

import (
	"slices"
	"strings"
	"testing"
	"time"

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

// TestAKindOffersItsOwnDevicesFirst: lamp offers lamps before the driver of a
// lamp and the lamp fuse.
func TestAKindOffersItsOwnDevicesFirst(t *testing.T) {
	m := demo(t)
	x := New(m)
	for _, kind := range []model.DeviceKind{model.KindLamp, model.KindConnector} {
		of, other := 0, false
		for _, place := range x.Query(string(kind), x.Len()) {
			device, _ := m.Device(place.Ref.Device)
			if device.Kind == kind && other {
				t.Fatalf("%s: %s comes after what is none", kind, place.Text)
			}
			if device.Kind == kind {
				of++
			} else {
				other = true
			}
		}
		if of == 0 {
			t.Errorf("%s finds none", kind)
		}
	}
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

// wordsAt lists the words beside each place.
func wordsAt(x *Index) [][]string {
	words := make([][]string, len(x.places))
	for j, word := range x.words {
		for _, place := range x.holding[j] {
			words[place] = append(words[place], word)
		}
	}
	return words
}

// plain is the plain way to do what Query does: look at every terminal, and the
// words beside it, at every key press.
func plain(x *Index, beside [][]string, text string, most int) []Place {
	typed := strings.ToLower(strings.TrimSpace(text))
	if typed == "" {
		return nil
	}
	squeezed, words := squeeze(typed), strings.Fields(typed)
	if len(words) > 1 {
		words = slices.DeleteFunc(words, func(word string) bool { return word == "pin" || word == "terminal" || word == "wire" })
	}
	var tiers [7][]Place
	for i, place := range x.places {
		ref := strings.ToLower(place.Text)
		have := func(match func(string) bool) bool { return slices.ContainsFunc(beside[i], match) }
		every := func(match func(word, typed string) bool) bool {
			for _, typed := range words {
				if !have(func(word string) bool { return match(word, typed) }) {
					return false
				}
			}
			return len(words) > 0
		}
		tier := -1
		switch {
		case ref == typed:
			tier = 0
		case strings.HasPrefix(ref, typed):
			tier = 1
		case squeezed != "" && strings.HasPrefix(squeeze(place.Text), squeezed):
			tier = 2
		case slices.Contains(x.kinds[typed], int32(i)):
			tier = 3
		case every(func(word, typed string) bool { return word == typed }):
			tier = 4
		case every(strings.HasPrefix):
			tier = 5
		case len(squeezed) > 1 && inOrder(squeezed, squeeze(place.Text)):
			tier = 6
		}
		if tier >= 0 {
			tiers[tier] = append(tiers[tier], place)
		}
	}
	var list []Place
	for _, tier := range tiers {
		list = append(list, tier...)
	}
	return list[:min(most, len(list))]
}

func sameRefs(a, b []Place) bool {
	return slices.EqualFunc(a, b, func(a, b Place) bool { return a.Ref == b.Ref })
}

// TestTheQuickWayIsThePlainWay compares the lists whatever is typed.
func TestTheQuickWayIsThePlainWay(t *testing.T) {
	x := New(demo(t))
	beside := wordsAt(x)
	rapid.Check(t, func(t *rapid.T) {
		typed := rapid.OneOf(
			rapid.StringMatching(`[a-z0-9:+ ]{1,6}`),
			rapid.Map(rapid.SampledFrom(x.words), func(word string) string { return word[:max(1, len(word)/2)] }),
			rapid.Map(rapid.SampledFrom(x.places), func(place Place) string { return place.Ref.Device + " " + place.Zone }),
		).Draw(t, "typed")
		if got, want := x.Query(typed, 7), plain(x, beside, typed, 7); !sameRefs(got, want) {
			t.Fatalf("%q finds %v, the plain way %v", typed, got, want)
		}
	})
}

// BenchmarkQuery is one key press at 5,000 terminals, beside a look at every
// terminal. The plain way is given its words ready in lower case.
func BenchmarkQuery(b *testing.B) {
	x := New(sample.Machine(1, 5000))
	beside := wordsAt(x)
	typed := []string{"x", "x1", "x1:", "lamp", "plug re", "j1a2", "w12", "5 v", "rd"}
	var mine, base time.Duration
	for i := 0; b.Loop(); i++ {
		text := typed[i%len(typed)]
		from := time.Now()
		got := x.Query(text, 7)
		middle := time.Now()
		want := plain(x, beside, text, 7)
		mine += middle.Sub(from)
		base += time.Since(middle)
		if !sameRefs(got, want) {
			b.Fatalf("%q finds %v, the plain way %v", text, got, want)
		}
	}
	b.ReportMetric(float64(base)/float64(mine), "x-linear")
	b.ReportMetric(float64(mine.Microseconds())/float64(b.N), "us/key")
}
