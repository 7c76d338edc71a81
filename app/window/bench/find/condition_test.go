package find

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestWhatWasDoneToTheMachineIsFound(t *testing.T) {
	x := New(demo(t))
	for _, c := range []struct{ name, typed, first string }{
		{"nothing yet", "", "unplugged "},
		{"the beginning of a word", "li", "lifted "},
		{"a connector by its reference alone", "J4", "unplugged J4"},
		{"a wire by its name alone", "w130", "lifted W130"},
		{"a word and a beginning", "unplugged j", "unplugged J1"},
		{"a part of the word is enough", "unp j6", "unplugged J6"},
		{"a link", "open f17", "open F17:1-2"},
		{"by title", "unplugged gate", "unplugged J7"},
		{"the second terminal of a clip lead", "clipped G1:+ x11:1", "clipped G1:+ X11:1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := x.Conditions(c.typed, 7); len(got) == 0 || got[0].Text != c.first {
				t.Errorf("%q finds %v, want %q first", c.typed, got, c.first)
			}
		})
	}
}

// TestEverySuggestionCanBeTaken: whatever is typed, what is suggested whole is a
// condition of this machine.
func TestEverySuggestionCanBeTaken(t *testing.T) {
	m := demo(t)
	x := New(m)
	rapid.Check(t, func(t *rapid.T) {
		typed := rapid.OneOf(
			rapid.StringMatching(`[a-z0-9:; -]{0,10}`),
			rapid.StringMatching(`(unplugged|lifted|open|closed) [a-z]?[0-9]?`),
		).Draw(t, "typed")
		for _, suggestion := range x.Conditions(typed, 9) {
			if strings.HasSuffix(suggestion.Text, " ") || strings.HasPrefix(suggestion.Text, "clipped") {
				continue // a beginning
			}
			if _, err := m.ParseConditions(suggestion.Text); err != nil {
				t.Fatalf("%q suggests %q: %v", typed, suggestion.Text, err)
			}
		}
	})
}
