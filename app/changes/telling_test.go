package changes

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"bellout/assets"
	"bellout/model"
)

// A reading that contradicts brings a finding, a second touch of good copper
// brings nothing; once the one is struck out, it takes its finding with it.
func TestReadingsThatChangedAConclusionAreNamed(t *testing.T) {
	before := demo(t, assets.AsRepaired)
	after := before.Clone()
	last := int64(0)
	for _, r := range before.Readings {
		last = max(last, r.Number)
	}
	bad := model.Reading{Number: last + 1, At: noon, Mode: model.ModeOhms, Value: model.Value{Kind: model.ShowsOL}}
	wire, _ := after.Wire("W12")
	bad.Red, bad.Black = wire.From, wire.To
	if err := after.Apply(model.Edit{Changes: []model.Change{{After: bad}}}); err != nil {
		t.Fatal(err)
	}
	s := look(t, before, after)
	told := s.Telling(s.Report())
	if len(told) != 1 || told[0].Name != fmt.Sprint(bad.Number) || told[0].Why != "brought open at W12" {
		t.Errorf("the reading that brought a finding: %+v", told)
	}
	back := look(t, after, before)
	told = back.Telling(back.Report())
	if len(told) != 1 || told[0].Why != "took open at W12 with it" {
		t.Errorf("the reading that went: %+v", told)
	}
}

// Whatever is named is one of the readings that differ, and the groups of the
// report are wiring or readings, none both.
func TestTellingReadingsAreAmongThoseThatDiffer(t *testing.T) {
	s := look(t, demo(t, assets.AsFound), demo(t, assets.AsRepaired))
	r := s.Report()
	if len(r.Wiring())+len(r.Readings()) != len(r.Groups) || len(r.Readings()) == 0 {
		t.Fatalf("%d groups of wiring, %d of readings, %d in all", len(r.Wiring()), len(r.Readings()), len(r.Groups))
	}
	var there []string
	for _, g := range r.Readings() {
		for _, e := range g.Entries {
			there = append(there, e.Name)
		}
	}
	told := s.Telling(r)
	if len(told) == 0 {
		t.Error("the repair took readings with it that findings rested on, and none is named")
	}
	settled := map[string]string{}
	for _, one := range told {
		if !slices.Contains(there, one.Name) || one.Why == "" {
			t.Errorf("%+v is none of those that differ", one)
		}
		if what, is := strings.CutPrefix(one.Why, "settled "); is {
			settled[strings.Join(one.Terminals, " ")] = what
		}
	}
	for tips, what := range map[string]string{"X11:7 X13:5": "rail-cross at W228", "G1:+ G3:+": "rail-cross at W228", "E6:- J3:B3": "open at W130"} {
		if settled[tips] != what {
			t.Errorf("%s settled %q, want %s", tips, settled[tips], what)
		}
	}
	// From one end of a blamed wire to a terminal of the other net it reads a sound wire.
	if what, is := settled["A3:- G5:-"]; is {
		t.Errorf("A3:- G5:- settled %s", what)
	}
}
