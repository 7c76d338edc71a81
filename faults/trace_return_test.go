package faults

import (
	"slices"
	"testing"

	"bellout/graphs"
)

// A star joins the returns of two supplies: a device returns to the one that
// feeds it, and what lies on the mains side of the other is not upstream. Fed by
// one and wired to the 0 V of the other alone, it shows where it returns to.
func TestReturnsLeadToTheSupplyThatFeeds(t *testing.T) {
	const two = `
		device G1 supply : + rail 24, - return
		device G2 supply : + rail 12, - return
		device X0 terminal-block : 1 pass
		device E1 lamp load=1 : + feed 24, - return
		wire W1 G1:+ E1:+`
	for _, c := range []struct {
		name, wires string
		sources     []string
	}{
		{"a star", "wire W2 E1:- X0:1\nwire W3 X0:1 G1:-\nwire W4 X0:1 G2:-", []string{"G1"}},
		{"through the other's return", "wire W2 E1:- G2:-\nwire W3 G2:- G1:-", []string{"G1"}},
		{"to the other alone", "wire W2 E1:- G2:-", []string{"G2"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			trace, err := Trace(build(t, two, c.wires), "E1")
			if err != nil {
				t.Fatal(err)
			}
			var sources []string
			for _, path := range trace.Paths {
				if path.Kind == graphs.PathReturn {
					sources = append(sources, path.Source)
				}
			}
			if !slices.Equal(sources, c.sources) {
				t.Errorf("returns to %v, want %v", sources, c.sources)
			}
		})
	}
}
