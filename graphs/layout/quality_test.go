package layout

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"bellout/assets"
	"bellout/model"
)

// TestMeasuredSeesEachFault damages a sound plan in one way at a time.
func TestMeasuredSeesEachFault(t *testing.T) {
	// Two boxes with a port each, one wire level between them, one of another net
	// that crosses it.
	sound := func() *Plan {
		box := func(device string, x float64, side Side, at float64) Box {
			r := Rect{Point{x, 0}, Point{x + 40, 32}}
			return Box{Device: device, Rect: r, Body: r, Ports: []Port{
				{Terminal: model.TerminalRef{Device: device, Mark: "1"}, At: Point{at, 16}, Far: Point{at, 16}, Side: side, Label: -1},
			}}
		}
		p := &Plan{Boxes: []Box{box("A", 0, Right, 40), box("B", 200, Left, 200), box("C", 400, Left, 400), box("D", 600, Left, 600)}}
		p.Wires = []Route{
			{Wire: "W1", From: End{0, 0}, To: End{1, 0}, Net: 1, Points: []Point{{40, 16}, {200, 16}}, Label: 0},
			{Wire: "W2", From: End{2, 0}, To: End{3, 0}, Net: 2, Points: []Point{
				{400, 16}, {320, 16}, {320, 80}, {120, 80}, {120, -40}, {560, -40}, {560, 16}, {600, 16},
			}, Label: -1},
		}
		p.Labels = []Label{{Text: "W1", Kind: WireName, Rect: Rect{Point{50, 4}, Point{80, 15}}, Box: -1, Wire: 0}}
		return p
	}
	want := Quality{Crossings: 1, Bends: 6, Length: 160 + 80 + 64 + 200 + 120 + 440 + 56 + 40, Nameless: 1}
	if got := Measured(sound()); got != want || !got.Sound() {
		t.Fatalf("sound plan: %+v, want %+v", got, want)
	}
	for _, c := range []struct {
		name   string
		damage func(p *Plan)
		seen   func(q Quality) int
	}{
		{"box on box", func(p *Plan) { p.Boxes[3].Rect = Rect{Point{430, 20}, Point{470, 60}} }, func(q Quality) int { return q.OverlapBoxes }},
		{"box in box", func(p *Plan) { p.Boxes[3].Rect = Rect{Point{410, 10}, Point{420, 20}} }, func(q Quality) int { return q.OverlapBoxes }},
		{"label on box", func(p *Plan) { p.Labels[0].Rect = Rect{Point{190, 4}, Point{210, 15}} }, func(q Quality) int { return q.OverlapLabels }},
		{"label on a wire", func(p *Plan) { p.Labels[0].Rect = Rect{Point{50, 10}, Point{80, 21}} }, func(q Quality) int { return q.OverlapLabels }},
		{"label on label", func(p *Plan) { p.Labels = append(p.Labels, p.Labels[0]) }, func(q Quality) int { return q.OverlapLabels }},
		{"level run on level run", func(p *Plan) { p.Wires[1].Points[2].Y, p.Wires[1].Points[3].Y = 16, 16 }, func(q Quality) int { return q.OverlapRuns }},
		{"upright run on upright run", func(p *Plan) {
			p.Wires[0].Points = []Point{{40, 16}, {120, 16}, {120, 40}, {160, 40}, {160, 16}, {200, 16}}
		}, func(q Quality) int { return q.OverlapRuns }},
		{"corner on a wire", func(p *Plan) { p.Wires[1].Points[3].Y, p.Wires[1].Points[2].Y = 16, 16; p.Wires[1].Points[1].Y = 16 }, func(q Quality) int { return q.Touches }},
		{"end on a wire", func(p *Plan) { p.Wires[1].Points = p.Wires[1].Points[3:5]; p.Wires[1].Points[1].Y = 16 }, func(q Quality) int { return q.Touches }},
		{"wire through a box", func(p *Plan) { p.Boxes[3].Rect = Rect{Point{100, 60}, Point{140, 100}} }, func(q Quality) int { return q.ThroughBoxes }},
		{"slanted run", func(p *Plan) { p.Wires[1].Points[2].X = 330 }, func(q Quality) int { return q.Slanted }},
		{"a port missed", func(p *Plan) { p.Wires[0].Points[1].X = 190 }, func(q Quality) int { return q.Slanted }},
	} {
		p := sound()
		c.damage(p)
		if q := Measured(p); c.seen(q) == 0 || q.Sound() {
			t.Errorf("%s is not seen: %+v", c.name, q)
		}
	}
}

// TestCrossingsThatAreKnown compares with what can be worked out by hand: a fan
// in pin order and wires whose ports may be dealt out need no crossing, n wires
// between two plugs whose pins run against each other cross n(n-1)/2 times.
func TestCrossingsThatAreKnown(t *testing.T) {
	const n = 7
	device := func(ref string, kind model.DeviceKind) model.Device {
		return model.Device{Ref: ref, Kind: kind, Health: model.HealthOK}
	}
	build := func(rows ...model.Row) *model.Machine {
		m := model.NewMachine()
		add(t, m, rows...)
		return m
	}
	terminal := func(device string, mark int, role model.Role) model.Terminal {
		return model.Terminal{Device: device, Mark: fmt.Sprint(mark), Role: role}
	}

	var fan, signals, reversed []model.Row
	fan = append(fan, device("X1", model.KindTerminalBlock), device("G1", model.KindSupply), terminal("G1", 1, model.RoleRail), terminal("X1", 0, model.RolePass), newWire(t, "W0", "G1:1", "X1:0"))
	signals = append(signals, device("A1", model.KindController), device("K1", model.KindDriver))
	reversed = append(reversed, device("J1", model.KindConnector), device("J2", model.KindConnector), device("A1", model.KindController))
	for i := 1; i <= n; i++ {
		lamp := fmt.Sprintf("E%d", (i*3)%n) // in no order
		fan = append(fan, device(lamp, model.KindLamp), terminal(lamp, 1, model.RoleFeed), terminal("X1", i, model.RolePass),
			model.Link{Device: "X1", From: "0", To: fmt.Sprint(i), Kind: model.LinkSolid}, newWire(t, fmt.Sprintf("W%d", i), fmt.Sprintf("X1:%d", i), lamp+":1"))
		signals = append(signals, terminal("A1", i, model.RoleSignal), terminal("K1", i, model.RoleSignal),
			newWire(t, fmt.Sprintf("W%d", i), fmt.Sprintf("A1:%d", i), fmt.Sprintf("K1:%d", (i*3)%n+1)))
		reversed = append(reversed, terminal("J1", i, model.RolePass), terminal("J2", i, model.RolePass), terminal("A1", i, model.RoleSignal),
			newWire(t, fmt.Sprintf("W%d", i), fmt.Sprintf("A1:%d", i), fmt.Sprintf("J1:%d", i)),
			newWire(t, fmt.Sprintf("W%d", n+i), fmt.Sprintf("J1:%d", i), fmt.Sprintf("J2:%d", n+1-i)))
	}
	for _, c := range []struct {
		name string
		m    *model.Machine
		want int
	}{
		{"a fan", build(fan...), 0},
		{"signals to ports in any order", build(signals...), 0},
		{"pins against each other", build(reversed...), n * (n - 1) / 2},
	} {
		p := compute(t, c.m, Options{})
		check(t, c.m, p)
		if got := Measured(p).Crossings; got != c.want {
			t.Errorf("%s: %d crossings, want %d", c.name, got, c.want)
		}
	}
}

// TestQualityOfTheDemo keeps the figures from creeping up: a little above what
// they were when this was written (520 crossings, 452 bends, 112,000 units).
func TestQualityOfTheDemo(t *testing.T) {
	m := demo(t, assets.AsFound)
	ours, theirs := Measured(compute(t, m, Options{})), Measured(plain(m))
	if ours.Crossings > 580 || ours.Bends > 500 || ours.Length > 125000 {
		t.Errorf("the chart got worse: %+v", ours)
	}
	if theirs.Crossings < 10*ours.Crossings || theirs.Sound() {
		t.Errorf("boxes in rows: %+v, ours %+v", theirs, ours)
	}
}

// TestMeasuredAgreesWithEveryPair compares the sweeps with a look at every pair.
func TestMeasuredAgreesWithEveryPair(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := &Plan{Boxes: []Box{{Ports: []Port{{Label: -1}}}}}
		for i := range rapid.IntRange(0, 8).Draw(t, "routes") {
			at := Point{float64(rapid.IntRange(0, 6).Draw(t, "x")), float64(rapid.IntRange(0, 6).Draw(t, "y"))}
			points := []Point{at}
			for k := range rapid.IntRange(1, 5).Draw(t, "runs") {
				by := float64(rapid.SampledFrom([]int{-3, -2, -1, 1, 2, 3}).Draw(t, "by"))
				if k%2 == i%2 {
					at.X += by
				} else {
					at.Y += by
				}
				points = append(points, at)
			}
			p.Wires = append(p.Wires, Route{Net: rapid.IntRange(1, 4).Draw(t, "net"), Points: points})
		}
		level, upright := runs(p)
		crossings, overlaps, touches := 0, 0, 0
		for _, l := range level {
			for _, u := range upright {
				if l.net != u.net && l.low < u.at && u.at < l.high && u.low < l.at && l.at < u.high {
					crossings++
				}
			}
		}
		for _, list := range [][]run{level, upright} {
			for i, a := range list {
				for _, b := range list[:i] {
					if a.net != b.net && a.at == b.at && a.low < b.high && b.low < a.high {
						overlaps++
					}
				}
			}
		}
		end := func(ends, lines []run, turned bool) {
			for _, e := range ends {
				for _, x := range []float64{e.low, e.high} {
					for _, l := range lines {
						at, along := e.at, x
						if turned {
							at, along = x, e.at
						}
						if l.net != e.net && l.at == at && l.low <= along && along <= l.high {
							touches++
						}
					}
				}
			}
		}
		end(level, upright, true)
		end(upright, level, true)
		end(level, level, false)
		end(upright, upright, false)
		if q := Measured(p); q.Crossings != crossings || q.OverlapRuns != overlaps || q.Touches != touches {
			t.Fatalf("sweeps found %+v, pair by pair %d crossings, %d overlaps, %d touches", q, crossings, overlaps, touches)
		}
	})
}
