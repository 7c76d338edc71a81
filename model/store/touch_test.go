package store

import (
	"slices"
	"testing"

	"bellout/model"
)

func TestTouches(t *testing.T) {
	plain := func(name, from, to string, with ...func(*model.Wire)) model.Wire {
		w := wire(name, from, to)
		for _, change := range with {
			change(&w)
		}
		return w
	}
	closed := model.Link{Device: "S1", From: "1-a", To: "2", Kind: model.LinkContact, State: model.StateClosed}
	open := closed
	open.State = model.StateOpen
	gone := func(w *model.Wire) { w.Removed = true }
	cases := []struct {
		name          string
		before, after model.Row
		want          []string
	}{
		{"a new wire", nil, plain("W8", "G1:-", "E1:+"), []string{"E1:+ G1:-"}},
		{"a new wire that is out already", nil, plain("W8", "G1:-", "E1:+", gone), nil},
		{"a wire moved", plain("W8", "G1:-", "E1:+"), plain("W8", "G1:-", "E1:-"), []string{"E1:+ G1:-", "E1:- G1:-"}},
		{"a wire taken out", plain("W8", "G1:-", "E1:+"), plain("W8", "G1:-", "E1:+", gone), []string{"E1:+ G1:-"}},
		{"a wire back in", plain("W8", "G1:-", "E1:+", gone), plain("W8", "G1:-", "E1:+"), []string{"E1:+ G1:-"}},
		{"a wire deleted", plain("W8", "G1:-", "E1:+"), nil, []string{"E1:+ G1:-"}},
		{"another gauge", plain("W8", "G1:-", "E1:+"), plain("W8", "G1:-", "E1:+", func(w *model.Wire) {
			w.Gauge = model.Gauge{System: model.GaugeAWG, AWG: 18}
		}), []string{"E1:+ G1:-"}},
		{"another length", plain("W8", "G1:-", "E1:+"), plain("W8", "G1:-", "E1:+", func(w *model.Wire) { w.LengthMetres = model.Known(2) }), []string{"E1:+ G1:-"}},
		{"another colour", plain("W8", "G1:-", "E1:+"), plain("W8", "G1:-", "E1:+", func(w *model.Wire) { w.Colour = "RD" }), nil},
		{"another name", plain("W8", "G1:-", "E1:+"), plain("W9", "G1:-", "E1:+"), nil},
		{"another direction", plain("W8", "G1:-", "E1:+"), plain("W8", "E1:+", "G1:-"), nil},
		{"a contact closed", open, closed, []string{"S1:1-a S1:2"}},
		{"a contact deleted", open, nil, []string{"S1:1-a S1:2"}},
		{"a device retitled", model.Device{Ref: "H7", Health: model.HealthOK}, model.Device{Ref: "H7", Health: model.HealthOK, Title: "lamp"}, nil},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f, path := create(t)
			must(t, f.Do(small()))
			if c.before != nil && c.before.Table() != model.TableLink {
				must(t, f.Do(model.Edit{What: "before", Changes: added(c.before)}))
			}
			before := f.Machine().Clone()
			must(t, f.Do(model.Edit{What: c.name, Changes: []model.Change{{Before: c.before, After: c.after}}}))
			id := f.lastJournal
			var got []string
			for _, touch := range f.Machine().Touches {
				if touch.Stored == rankOf(id) {
					got = append(got, touch.A.String()+" "+touch.B.String())
				}
			}
			slices.Sort(got)
			if !slices.Equal(got, c.want) {
				t.Errorf("touches %v, want %v", got, c.want)
			}
			check(t, f)
			after := f.Machine().Clone()
			must(t, f.Close())
			f = reopen(t, path, ReadWrite)
			_, err := f.Undo()
			must(t, err)
			same(t, f.Machine(), before, "after undo")
			_, err = f.Redo()
			must(t, err)
			same(t, f.Machine(), after, "after redo")
		})
	}
}

func TestNoTouchesWhereNoReadingCanBeStale(t *testing.T) {
	f, _ := create(t)
	must(t, f.Do(small())) // its own readings were taken with its own wires
	if len(f.Machine().Touches) > 0 {
		t.Errorf("an import touches its own readings: %v", f.Machine().Touches)
	}
	discovery := added(model.Wire{Name: "W7", From: ref("G1:+"), To: ref("E1:-"), Basis: model.BasisProbed})
	_, err := f.Log(reading("G1:+", "E1:-"), discovery...)
	must(t, err)
	if len(f.Machine().Touches) > 0 {
		t.Errorf("a discovery touches: %v", f.Machine().Touches)
	}
	_, err = f.Undo()
	must(t, err)
	_, err = f.Redo()
	must(t, err)
	if len(f.Machine().Touches) > 0 {
		t.Errorf("a discovery made again touches: %v", f.Machine().Touches)
	}
}
