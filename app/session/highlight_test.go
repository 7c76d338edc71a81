package session_test

import (
	"testing"

	"bellout/app/session"
)

func TestWhatIsBroughtOutGoesWithTheSelection(t *testing.T) {
	d := session.New(session.Options{})
	told := 0
	d.Listen(func(what session.Changed) {
		if what.Has(session.Selected) {
			told++
		}
	})
	d.Select(session.Selection{Kind: session.Device, Name: "A1"})
	d.SetHighlight(session.Highlight{What: "upstream of A1", Strands: []session.Strand{{Kind: "feed", Wires: []string{"W1"}}}})
	if d.Highlight().Empty() || told != 2 {
		t.Fatalf("brought out: %+v, told %d times; want a strand, told twice", d.Highlight(), told)
	}
	d.Select(session.Selection{Kind: session.Device, Name: "A1"})
	if d.Highlight().Empty() {
		t.Error("selecting the same again put it back")
	}
	d.Select(session.Selection{Kind: session.Wire, Name: "W1"})
	if !d.Highlight().Empty() {
		t.Error("what was brought out for A1 still stands out with W1 selected")
	}
}
