package faults

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"bellout/graphs"
)

func TestTrace(t *testing.T) {
	result, err := Trace(build(t, voltsMachine), "A1")
	if err != nil {
		t.Fatal(err)
	}
	feed := slices.IndexFunc(result.Paths, func(p TracePath) bool { return p.Kind == graphs.PathFeed })
	if feed < 0 {
		t.Fatalf("no feed among %+v", result.Paths)
	}
	got := result.Paths[feed]
	if want := []string{"A1:VCC", "X5:2", "X5:1", "F2:2", "F2:1", "G2:+"}; !slices.Equal(got.Through, want) {
		t.Errorf("through %v, want %v", got.Through, want)
	}
	if want := []string{"W13", "W12", "W11"}; !slices.Equal(got.Wires, want) || got.Source != "G2" {
		t.Errorf("wires %v from %s, want %v from G2", got.Wires, got.Source, want)
	}
	if !result.Complete || result.Omitted != 0 {
		t.Errorf("complete %v, omitted %d", result.Complete, result.Omitted)
	}
	if hindered := Hindrances(build(t, voltsMachine), got); hindered != nil {
		t.Errorf("the way conducts, yet: %v", hindered)
	}
	if hindered := Hindrances(build(t, voltsMachine, "link F2 1 2 fuse 2 open"), got); !slices.Equal(hindered, []string{"F2:1-2 is blown"}) {
		t.Errorf("hindrances %v, want the blown fuse", hindered)
	}
}

func TestTraceWalksWhatIsOpen(t *testing.T) {
	m := build(t, voltsMachine, `
		link F2 1 2 fuse 2 open
		device S1 switch : 1 pass, 2 pass
		link S1 1 2 contact open
		wire W13 X5:2 S1:1
		wire W30 S1:2 A1:VCC`)
	result, err := Trace(m, "A1")
	if err != nil {
		t.Fatal(err)
	}
	if len(result.Paths) == 0 || result.Paths[0].Source != "G2" {
		t.Fatalf("got %+v, want the way to G2 through the switch and the blown fuse", result.Paths)
	}
	if got := Hindrances(m, result.Paths[0]); !slices.Equal(got, []string{"S1:1-2 is open at rest", "F2:1-2 is blown"}) {
		t.Errorf("hindrances %v", got)
	}
}

func TestTraceListsAreNeverNull(t *testing.T) {
	result, err := Trace(build(t, "device Q1 lamp : + feed 24, - return"), "Q1")
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(result)
	if err != nil || strings.Contains(string(text), "null") || !strings.Contains(string(text), `"paths":[]`) {
		t.Errorf("got %s, %v", text, err)
	}
}

func TestTraceOfAnUnknownDevice(t *testing.T) {
	if _, err := Trace(build(t, voltsMachine), "A9"); err == nil || !strings.Contains(err.Error(), `no device "A9"`) {
		t.Errorf("got %v", err)
	}
}
