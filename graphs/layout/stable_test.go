package layout

import (
	"context"
	"errors"
	"fmt"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"bellout/assets"
	"bellout/model"
	"bellout/model/sample"
)

// stayed returns the share of boxes and of routes of a plan that the next one
// has in exactly the same place.
func stayed(before, after *Plan) (boxes, routes float64) {
	same := 0
	for i := range before.Boxes {
		if at, found := after.Box(before.Boxes[i].Device); found && after.Boxes[at].Rect == before.Boxes[i].Rect {
			same++
		}
	}
	alike := 0
	for i := range before.Wires {
		if at, found := after.Wire(before.Wires[i].Wire); found && reflect.DeepEqual(after.Wires[at].Points, before.Wires[i].Points) {
			alike++
		}
	}
	return float64(same) / float64(max(1, len(before.Boxes))), float64(alike) / float64(max(1, len(before.Wires)))
}

func ref(t testing.TB, text string) model.TerminalRef {
	t.Helper()
	r, err := model.ParseTerminalRef(text)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// newWire is a wire as somebody adds it at the bench.
func newWire(t testing.TB, name, from, to string) model.Wire {
	t.Helper()
	return model.Wire{Name: name, From: ref(t, from), To: ref(t, to), Colour: "RD", Basis: model.BasisSeen}
}

func TestALittleChangeMovesLittle(t *testing.T) {
	cases := []struct {
		name   string
		change func(t *testing.T, m *model.Machine)
		boxes  float64
		routes float64
	}{
		{"nothing", func(*testing.T, *model.Machine) {}, 1, 1},
		{"a wire", func(t *testing.T, m *model.Machine) { add(t, m, newWire(t, "W901", "X11:7", "A1:I9")) }, 1, 1},
		{"a wire across the whole chart", func(t *testing.T, m *model.Machine) { add(t, m, newWire(t, "W901", "X2:PE7", "M4:2")) }, 1, 1},
		{"a wire less", func(t *testing.T, m *model.Machine) {
			w, _ := m.Wire("W118")
			if err := m.Apply(model.Edit{What: "cut", Changes: []model.Change{{Before: w}}}); err != nil {
				t.Fatal(err)
			}
		}, 1, 0.99},
		{"a device with its wires", func(t *testing.T, m *model.Machine) {
			add(t, m, model.Device{Ref: "B9", Kind: model.KindSensor, Title: "one more sensor", Zone: "bridge", Health: model.HealthOK},
				model.Terminal{Device: "B9", Mark: "VCC", Role: model.RoleFeed}, model.Terminal{Device: "B9", Mark: "GND", Role: model.RoleReturn},
				newWire(t, "W901", "X14:8", "B9:VCC"), newWire(t, "W902", "X24:9", "B9:GND"))
		}, 1, 0.97},
		{"a terminal more on a plug", func(t *testing.T, m *model.Machine) {
			add(t, m, model.Terminal{Device: "J4", Mark: "A3", Role: model.RolePass}, model.Terminal{Device: "J4", Mark: "B3", Role: model.RolePass},
				model.Link{Device: "J4", From: "A3", To: "B3", Kind: model.LinkSolid})
		}, 0.98, 0.95},
		{"another title", func(t *testing.T, m *model.Machine) {
			d, _ := m.Device("M3")
			other := d
			other.Title = "gate motor, the left one of the two"
			if err := m.Apply(model.Edit{What: "title", Changes: []model.Change{{Before: d, After: other}}}); err != nil {
				t.Fatal(err)
			}
		}, 0.98, 0.98},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			m := demo(t, assets.AsFound)
			before := compute(t, m, Options{})
			c.change(t, m)
			after := compute(t, m, Options{Previous: before})
			check(t, m, after)
			boxes, routes := stayed(before, after)
			if boxes < c.boxes || routes < c.routes {
				t.Errorf("%.1f %% of the boxes and %.1f %% of the routes stayed", 100*boxes, 100*routes)
			}
			if q := Measured(after); q.Nameless > 0 {
				t.Errorf("%d wires lost their names", q.Nameless)
			}
		})
	}
}

func TestAddAndTakeAwayLeadsBack(t *testing.T) {
	m := demo(t, assets.AsFound)
	before := compute(t, m, Options{})
	w := newWire(t, "W901", "X11:7", "A1:I9")
	add(t, m, w)
	with := compute(t, m, Options{Previous: before})
	if err := m.Apply(model.Edit{What: "away", Changes: []model.Change{{Before: w}}}); err != nil {
		t.Fatal(err)
	}
	after := compute(t, m, Options{Previous: with})
	if boxes, routes := stayed(before, after); boxes < 1 || routes < 1 {
		t.Errorf("boxes %v, routes %v stayed", boxes, routes)
	}
}

func TestADraggedBoxStaysWhereItWasPut(t *testing.T) {
	m := demo(t, assets.AsFound)
	before := compute(t, m, Options{})
	at := before.Positions()
	to := Point{at["U1"].X + 61, at["U1"].Y - 497}
	after := compute(t, m, Options{Previous: before, Pinned: map[string]Point{"U1": to}})
	check(t, m, after)
	box, _ := after.Box("U1")
	if got := after.Boxes[box]; got.Min != (Point{at["U1"].X + 64, at["U1"].Y - 496}) || !got.Pinned {
		t.Errorf("put to %v, stands at %v, pinned %v", to, got.Min, got.Pinned)
	}
	if boxes, _ := stayed(before, after); boxes < 0.95 {
		t.Errorf("%.1f %% of the other boxes stayed", 100*boxes)
	}
	// On top of another: that one gives way.
	after = compute(t, m, Options{Previous: after, Pinned: map[string]Point{"U1": {at["U1"].X + 64, at["U1"].Y - 496}, "F1": at["F2"]}})
	check(t, m, after)
	for device, want := range map[string]Point{"F1": at["F2"], "U1": {at["U1"].X + 64, at["U1"].Y - 496}} {
		box, _ := after.Box(device)
		if after.Boxes[box].Min != want {
			t.Errorf("%s stands at %v, was put to %v", device, after.Boxes[box].Min, want)
		}
	}
}

// TestDraggedIntoTheThick drops boxes with many wires on and beside others.
func TestDraggedIntoTheThick(t *testing.T) {
	m := demo(t, assets.AsFound)
	before := compute(t, m, Options{})
	for _, device := range []string{"F1", "K1", "A1", "J7", "X24", "X2"} {
		at := before.Positions()[device]
		for _, by := range []Point{{0, 24}, {64, -40}, {-304, 504}, {400, 0}} {
			to := at.moved(by)
			after := compute(t, m, Options{Previous: before, Pinned: map[string]Point{device: to}})
			check(t, m, after)
			box, _ := after.Box(device)
			if got := after.Boxes[box].Min; got != to {
				t.Errorf("%s was put to %v and stands at %v", device, to, got)
			}
			if boxes, _ := stayed(before, after); boxes < 0.88 {
				t.Errorf("%s by %v: only %.1f %% of the boxes stayed", device, by, 100*boxes)
			}
			// And back: nothing is left over that lies on anything.
			check(t, m, compute(t, m, Options{Previous: after, Pinned: map[string]Point{device: at}}))
		}
	}
}

func TestKeepingCanBeStopped(t *testing.T) {
	m := demo(t, assets.AsFound)
	before := compute(t, m, Options{})
	ctx, cancel := context.WithCancel(context.Background())
	last := -1.0
	_, err := Compute(ctx, m, Options{
		Previous: before, Pinned: map[string]Point{"J7": {0, 0}},
		Progress: func(done float64, _ string) {
			if done < last {
				t.Errorf("progress went back from %v to %v", last, done)
			}
			if last = done; done > 0.4 {
				cancel()
			}
		},
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("stopped half way: %v", err)
	}
}

func TestSavedPlacesComeBack(t *testing.T) {
	m := demo(t, assets.AsFound)
	fresh := compute(t, m, Options{})
	at := fresh.Positions()
	dragged := compute(t, m, Options{Previous: fresh, Pinned: map[string]Point{"A3": {at["A3"].X, at["A3"].Y + 400}}})
	again := compute(t, m, Options{Saved: dragged.Positions()})
	check(t, m, again)
	if !reflect.DeepEqual(again.Positions(), dragged.Positions()) {
		t.Error("boxes stand elsewhere than they were saved")
	}
	if again = compute(t, m, Options{Saved: at}); !reflect.DeepEqual(again, fresh) {
		t.Error("the plan's own places gave another plan")
	}
}

// TestAnythingMayBeDraggedAnywhere drags boxes about, adds and takes wires, and
// holds every plan on the way to what must be true of one.
func TestAnythingMayBeDraggedAnywhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := tangle(t)
		p, err := Compute(context.Background(), m, Options{})
		if err != nil {
			t.Fatalf("%v", err)
		}
		pinned := map[string]Point{}
		for step := range rapid.IntRange(1, 4).Draw(t, "steps") {
			switch rapid.IntRange(0, 2).Draw(t, "what") {
			case 0, 1:
				box := rapid.SampledFrom(p.Boxes).Draw(t, "box")
				to := Point{
					box.Min.X + float64(rapid.IntRange(-400, 400).Draw(t, "dx")), box.Min.Y + float64(rapid.IntRange(-400, 400).Draw(t, "dy")),
				}
				if rapid.Bool().Draw(t, "alone") { // else those dragged before stay pinned too
					pinned = map[string]Point{}
				}
				pinned[box.Device] = to
			default:
				a, b := rapid.SampledFrom(m.Terminals).Draw(t, "a").Ref(), rapid.SampledFrom(m.Terminals).Draw(t, "b").Ref()
				if a != b {
					w := model.Wire{Name: fmt.Sprintf("N%d", step), From: a, To: b, Basis: model.BasisSeen}
					if err := m.Apply(model.Edit{What: "wire", Changes: []model.Change{{After: w}}}); err != nil {
						t.Fatalf("%v", err)
					}
				}
			}
			if p, err = Compute(context.Background(), m, Options{Previous: p, Pinned: pinned}); err != nil {
				t.Fatalf("%v", err)
			}
			check(t, m, p)
			for device, to := range pinned {
				if len(pinned) > 1 {
					break // they may be in each other's way
				}
				at, _ := p.Box(device)
				if got := p.Boxes[at].Min; abs(int(got.X-to.X)) > Grid/2 || abs(int(got.Y-to.Y)) > Grid/2 {
					t.Fatalf("%s was put to %v and stands at %v", device, to, got)
				}
			}
		}
	})
}

func TestKeepingALargeChart(t *testing.T) {
	if testing.Short() {
		t.Skip("places a machine of 2,200 devices")
	}
	m := sample.Machine(1, 16000)
	before := compute(t, m, Options{})
	add(t, m, newWire(t, "W99999", "X5:6", "J2:A1"))
	after := compute(t, m, Options{Previous: before})
	check(t, m, after)
	if boxes, routes := stayed(before, after); boxes < 1 || routes < 1 {
		t.Errorf("boxes %v, routes %v stayed", boxes, routes)
	}
}
