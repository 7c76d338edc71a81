package layout

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"bellout/assets"
	"bellout/model"
	"bellout/model/sample"
)

// failer is what *testing.T and *rapid.T share.
type failer interface {
	Helper()
	Fatalf(format string, args ...any)
}

// check holds a plan to everything that must be true of one.
func check(t failer, m *model.Machine, p *Plan) {
	t.Helper()
	if q := Measured(p); !q.Sound() {
		t.Fatalf("something lies on something else: %+v", q)
	}
	if len(p.Boxes) != len(m.Devices) {
		t.Fatalf("%d boxes for %d devices", len(p.Boxes), len(m.Devices))
	}
	ports := 0
	for i := range p.Boxes {
		box := &p.Boxes[i]
		if at, found := p.Box(box.Device); !found || at != i {
			t.Fatalf("box %d is not found by its device %s", i, box.Device)
		}
		ports += len(box.Ports)
		for j := range box.Ports {
			port := &box.Ports[j]
			if port.Terminal.Device != box.Device {
				t.Fatalf("%s has the port %s", box.Device, port.Terminal)
			}
			if port.At.X < box.Body.Min.X || port.At.X > box.Body.Max.X || port.At.Y <= box.Body.Min.Y || port.At.Y >= box.Body.Max.Y {
				t.Fatalf("port %s at %v stands outside %v", port.Terminal, port.At, box.Body)
			}
		}
		if shown := box.Rect.with(box.Body); shown != box.Rect {
			t.Fatalf("%s: body %v reaches out of %v", box.Device, box.Body, box.Rect)
		}
	}
	if ports != len(m.Terminals) {
		t.Fatalf("%d ports for %d terminals", ports, len(m.Terminals))
	}
	for i := range p.Zones {
		zone := &p.Zones[i]
		if name := p.Labels[zone.Label]; name.Text != clean(zone.Name) || name.Zone != i {
			t.Fatalf("zone %q is named %+v", zone.Name, name)
		}
		for j := range p.Boxes {
			if share(zone.Rect, p.Boxes[j].Rect) && p.Boxes[j].Zone != zone.Name {
				t.Fatalf("the area of %q holds %s of %q", zone.Name, p.Boxes[j].Device, p.Boxes[j].Zone)
			}
		}
		for j := range i {
			if share(zone.Rect, p.Zones[j].Rect) {
				t.Fatalf("areas of %q and %q overlap", zone.Name, p.Zones[j].Name)
			}
		}
	}
	wires := 0
	for i := range m.Wires {
		w := &m.Wires[i]
		at, found := p.Wire(w.Name)
		if found != w.Runs() {
			t.Fatalf("wire %s: removed %v, drawn %v", w.Name, w.Removed, found)
		}
		if !w.Runs() {
			continue
		}
		wires++
		r := &p.Wires[at]
		if r.Label >= 0 {
			l := &p.Labels[r.Label]
			if l.Kind != WireName || l.Wire != at || away(l.Rect, r.Points) > 4 {
				t.Fatalf("the name of wire %s (%+v) stands away from its way %v", w.Name, *l, r.Points)
			}
		}
		from, to := p.Boxes[r.From.Box].Ports[r.From.Port].Terminal, p.Boxes[r.To.Box].Ports[r.To.Port].Terminal
		if r.Wire != w.Name || from != w.From || to != w.To {
			t.Fatalf("wire %s from %s to %s is drawn as %s from %s to %s", w.Name, w.From, w.To, r.Wire, from, to)
		}
	}
	if wires != len(p.Wires) {
		t.Fatalf("%d routes for %d wires", len(p.Wires), wires)
	}
	for i := range p.Labels {
		l := &p.Labels[i]
		if all := p.Bounds.with(l.Rect); all != p.Bounds {
			t.Fatalf("label %q reaches out of the chart", l.Text)
		}
	}
}

// away is how far a route passes from a rectangle.
func away(r Rect, points []Point) float64 {
	least := math.Inf(1)
	for k := 1; k < len(points); k++ {
		a, b := points[k-1], points[k]
		dx := max(0, r.Min.X-max(a.X, b.X), min(a.X, b.X)-r.Max.X)
		dy := max(0, r.Min.Y-max(a.Y, b.Y), min(a.Y, b.Y)-r.Max.Y)
		least = min(least, math.Hypot(dx, dy))
	}
	return least
}

func TestTheDemoMachineIsPlacedSoundly(t *testing.T) {
	for _, state := range assets.DemoStates {
		t.Run(state, func(t *testing.T) {
			m := demo(t, state)
			p := compute(t, m, Options{})
			check(t, m, p)
			q := Measured(p)
			if q.Nameless > 0 {
				t.Errorf("%d wires without a name", q.Nameless)
			}
			wide, tall := p.Bounds.Max.X-p.Bounds.Min.X, p.Bounds.Max.Y-p.Bounds.Min.Y
			if wide > 3600 || tall > 2400 {
				t.Errorf("%.0f by %.0f units do not fit a window of 1400 by 900 so that boxes can be told apart", wide, tall)
			}
			t.Logf("%+v, %.0f x %.0f", q, wide, tall)
		})
	}
}

func TestReadingOrder(t *testing.T) {
	m := demo(t, assets.AsRepaired)
	p := compute(t, m, Options{})
	column := func(device string) int {
		at, found := p.Box(device)
		if !found {
			t.Fatalf("no box %s", device)
		}
		return p.Boxes[at].Layer
	}
	for _, way := range [][]string{
		{"X1", "Q1", "X2", "G1", "X11", "F1", "J1", "Y1"}, // mains, supply, block, fuse, plug, coil
		{"G4", "X14", "F14", "A1", "K1", "J1"},            // 5 V, controller, driver
		{"G3", "X13", "F12", "J7", "K3", "M3"},            // 36 V into the gate house
		{"G2", "X22", "J3", "E5"},                         // a return, from its supply outward
		{"A1", "J9", "S2"},                                // a button, though it pulls to 0 V
	} {
		for i := 1; i < len(way); i++ {
			if column(way[i-1]) >= column(way[i]) {
				t.Errorf("%s stands in column %d, %s in %d: not from source to load", way[i-1], column(way[i-1]), way[i], column(way[i]))
			}
		}
	}
	for _, chain := range [][]string{{"E1", "E2", "E3", "E4"}, {"Y1", "Y2", "Y3"}, {"S2", "S3", "S4"}} {
		for _, device := range chain {
			if column(device) != column(chain[0]) {
				t.Errorf("the daisy chain %v stands in several columns", chain)
			}
		}
	}
}

func TestPinsKeepTheirOrder(t *testing.T) {
	m := demo(t, assets.AsFound)
	p := compute(t, m, Options{})
	for i := range p.Boxes {
		box := &p.Boxes[i]
		if box.Shape != Plug && box.Shape != Strip {
			continue
		}
		for _, side := range []Side{Left, Right} {
			var ports []Port
			for _, port := range box.Ports {
				if port.Side == side {
					ports = append(ports, port)
				}
			}
			slices.SortFunc(ports, func(a, b Port) int { return int(a.At.Y - b.At.Y) })
			for k := 1; k < len(ports); k++ {
				if model.Compare(ports[k-1].Terminal.Mark, ports[k].Terminal.Mark) > 0 {
					t.Errorf("%s: %s stands above %s", box.Device, ports[k-1].Terminal, ports[k].Terminal)
				}
			}
		}
	}
	// Mates of a plug face each other.
	for _, l := range m.Links {
		at, _ := p.Box(l.Device)
		if box := &p.Boxes[at]; box.Shape == Plug && l.Kind == model.LinkSolid {
			var ys []float64
			for _, port := range box.Ports {
				if port.Terminal.Mark == l.From || port.Terminal.Mark == l.To {
					ys = append(ys, port.At.Y)
				}
			}
			if len(ys) == 2 && ys[0] != ys[1] {
				t.Errorf("%s: %s and %s are mates in two rows", l.Device, l.From, l.To)
			}
		}
	}
}

func TestGeneratedMachinesArePlacedSoundly(t *testing.T) {
	sizes := []int{600, 1500, 5000, 16000}
	if testing.Short() {
		sizes = sizes[:2]
	}
	for _, size := range sizes {
		t.Run(fmt.Sprint(size), func(t *testing.T) {
			m := sample.Machine(uint64(size), size)
			p := compute(t, m, Options{})
			check(t, m, p)
			t.Logf("%d devices, %d wires: %+v", len(m.Devices), len(m.Wires), Measured(p))
		})
	}
}

func TestAnyMachineIsPlacedSoundly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := sample.Draw(t)
		p, err := Compute(context.Background(), m, Options{})
		if err != nil {
			t.Fatalf("%v", err)
		}
		check(t, m, p)
	})
}

// tangle draws a machine of few devices with many wires anywhere, where rings
// in the channels are the rule.
func tangle(t *rapid.T) *model.Machine {
	m := model.NewMachine()
	edit := model.Edit{What: "tangle"}
	var ends []model.TerminalRef
	for d := range rapid.IntRange(2, 9).Draw(t, "devices") {
		ref := fmt.Sprintf("D%d", d)
		kind := rapid.SampledFrom(model.DeviceKinds).Draw(t, "kind")
		edit.Changes = append(edit.Changes, model.Change{After: model.Device{Ref: ref, Kind: kind, Title: "part", Health: model.HealthOK}})
		for mark := range rapid.IntRange(1, 12).Draw(t, "terminals") {
			terminal := model.Terminal{Device: ref, Mark: fmt.Sprint(mark), Role: rapid.SampledFrom(model.Roles).Draw(t, "role")}
			edit.Changes = append(edit.Changes, model.Change{After: terminal})
			ends = append(ends, terminal.Ref())
		}
	}
	for i := range rapid.IntRange(1, 60).Draw(t, "wires") {
		a, b := rapid.IntRange(0, len(ends)-1).Draw(t, "a"), rapid.IntRange(0, len(ends)-1).Draw(t, "b")
		if a != b {
			edit.Changes = append(edit.Changes, model.Change{After: model.Wire{Name: fmt.Sprintf("W%d", i), From: ends[a], To: ends[b], Colour: "RD", Basis: model.BasisSeen}})
		}
	}
	if err := m.Apply(edit); err != nil {
		t.Fatalf("tangle: %v", err)
	}
	return m
}

func TestATangleIsPlacedSoundly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := tangle(t)
		p, err := Compute(context.Background(), m, Options{})
		if err != nil {
			t.Fatalf("%v", err)
		}
		check(t, m, p)
	})
}

// shuffled returns the machine with its rows in another order.
func shuffled(t testing.TB, m *model.Machine, seed uint64) *model.Machine {
	t.Helper()
	random := rand.New(rand.NewPCG(seed, 1))
	from := model.Machine{
		Devices: slices.Clone(m.Devices), Terminals: slices.Clone(m.Terminals), Links: slices.Clone(m.Links), Wires: slices.Clone(m.Wires),
	}
	random.Shuffle(len(from.Devices), func(i, j int) { from.Devices[i], from.Devices[j] = from.Devices[j], from.Devices[i] })
	random.Shuffle(len(from.Terminals), func(i, j int) { from.Terminals[i], from.Terminals[j] = from.Terminals[j], from.Terminals[i] })
	random.Shuffle(len(from.Links), func(i, j int) { from.Links[i], from.Links[j] = from.Links[j], from.Links[i] })
	random.Shuffle(len(from.Wires), func(i, j int) { from.Wires[i], from.Wires[j] = from.Wires[j], from.Wires[i] })
	other, err := model.NewMachineFromRows(from)
	if err != nil {
		t.Fatal(err)
	}
	return other
}

func TestTheSameMachineGivesTheSamePlan(t *testing.T) {
	for name, m := range map[string]*model.Machine{"demo": demo(t, assets.AsFound), "sample": sample.Machine(3, 2000)} {
		first := compute(t, m, Options{})
		for seed := range uint64(3) {
			if again := compute(t, shuffled(t, m, seed), Options{}); !reflect.DeepEqual(first, again) {
				t.Errorf("%s: another order of rows gave another plan", name)
			}
		}
		kept := compute(t, m, Options{Previous: first, Pinned: map[string]Point{"J1": {40, 40}}})
		if again := compute(t, shuffled(t, m, 9), Options{Previous: first, Pinned: map[string]Point{"J1": {40, 40}}}); !reflect.DeepEqual(kept, again) {
			t.Errorf("%s: another order of rows was rerouted in another way", name)
		}
	}
}

func TestItCanBeStopped(t *testing.T) {
	m := sample.Machine(1, 2000)
	calls := 0
	last := -1.0
	if _, err := Compute(context.Background(), m, Options{Progress: func(done float64, _ string) {
		calls++
		if done < last {
			t.Errorf("progress went back from %v to %v", last, done)
		}
		last = done
	}}); err != nil || last != 1 {
		t.Fatalf("ended at %v, %v", last, err)
	}
	for stop := range calls - 1 { // at each report in turn; after the last there is nothing to stop
		ctx, cancel := context.WithCancel(context.Background())
		at := 0
		_, err := Compute(ctx, m, Options{Progress: func(float64, string) {
			if at == stop {
				cancel()
			}
			at++
		}})
		if !errors.Is(err, context.Canceled) {
			t.Errorf("stopped at report %d of %d: %v", stop, calls, err)
		}
		cancel()
	}
}

func TestAnEmptyMachineHasAnEmptyPlan(t *testing.T) {
	check(t, model.NewMachine(), compute(t, model.NewMachine(), Options{}))
}
