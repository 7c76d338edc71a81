package desk_test

import (
	"testing"

	"bellout/app/desk"
)

func TestWhatIsBroughtOutGoesWithTheSelection(t *testing.T) {
	d := desk.New(desk.Options{})
	told := 0
	d.Listen(func(what desk.Changed) {
		if what.Has(desk.Selected) {
			told++
		}
	})
	d.Select(desk.Selection{Kind: desk.Device, Name: "A1"})
	d.SetHighlight(desk.Highlight{What: "upstream of A1", Strands: []desk.Strand{{Kind: "feed", Wires: []string{"W1"}}}})
	if d.Highlight().Empty() || told != 2 {
		t.Fatalf("brought out: %+v, told %d times; want a strand, told twice", d.Highlight(), told)
	}
	d.Select(desk.Selection{Kind: desk.Device, Name: "A1"})
	if d.Highlight().Empty() {
		t.Error("selecting the same again put it back")
	}
	d.Select(desk.Selection{Kind: desk.Wire, Name: "W1"})
	if !d.Highlight().Empty() {
		t.Error("what was brought out for A1 still stands out with W1 selected")
	}
}
