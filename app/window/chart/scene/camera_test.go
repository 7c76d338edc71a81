package scene

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"bellout/app/drawing"
)

func drawPoint(t *rapid.T, label string) drawing.Point {
	return drawing.Point{X: rapid.Float64Range(-1e5, 1e5).Draw(t, label+" x"), Y: rapid.Float64Range(-1e5, 1e5).Draw(t, label+" y")}
}

func drawCamera(t *rapid.T) Camera {
	return Camera{Origin: drawPoint(t, "origin"), Scale: rapid.Float64Range(MinScale, MaxScale).Draw(t, "scale")}
}

func near(a, b drawing.Point, by float64) bool { return math.Hypot(a.X-b.X, a.Y-b.Y) <= by }

func TestFromTheScreenToTheChartAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, p := drawCamera(t), drawPoint(t, "point")
		if back := c.ToScreen(c.ToScene(p)); !near(back, p, 1e-6*(1+math.Hypot(p.X, p.Y))) {
			t.Fatalf("%v came back as %v", p, back)
		}
	})
}

func TestZoomKeepsWhatLiesUnderThePointer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCamera(t)
		at := drawing.Point{X: rapid.Float64Range(0, 2000).Draw(t, "x"), Y: rapid.Float64Range(0, 2000).Draw(t, "y")}
		before := c.ToScene(at)
		for range rapid.IntRange(1, 20).Draw(t, "turns") {
			c = c.Zoomed(at, rapid.Float64Range(0.3, 3).Draw(t, "factor"))
		}
		if after := c.ToScene(at); !near(before, after, 1e-6*(1+math.Hypot(before.X, before.Y))) {
			t.Fatalf("under the pointer lay %v, now %v", before, after)
		}
		if c.Scale < MinScale || c.Scale > MaxScale {
			t.Fatalf("scale %v is beyond its limits", c.Scale)
		}
	})
}

func TestPanningThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCamera(t)
		dx, dy := rapid.Float64Range(-3000, 3000).Draw(t, "dx"), rapid.Float64Range(-3000, 3000).Draw(t, "dy")
		if back := c.Panned(dx, dy).Panned(-dx, -dy); !near(back.Origin, c.Origin, 1e-6) {
			t.Fatalf("came back to %v, want %v", back.Origin, c.Origin)
		}
	})
}

func TestFittedShowsAllOfABox(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		box := drawing.Box{Min: drawPoint(t, "corner")}
		box.Max = drawing.Point{X: box.Min.X + rapid.Float64Range(1, 2e4).Draw(t, "w"), Y: box.Min.Y + rapid.Float64Range(1, 2e4).Draw(t, "h")}
		width, height := rapid.Float64Range(500, 2000).Draw(t, "width"), rapid.Float64Range(500, 2000).Draw(t, "height")
		c := Fitted(box, width, height, 20, 2)
		from, to := c.ToScreen(box.Min), c.ToScreen(box.Max)
		const hair = 1e-6
		if c.Scale > MinScale && (from.X < 20-hair || from.Y < 20-hair || to.X > width-20+hair || to.Y > height-20+hair) {
			t.Fatalf("on a screen of %v by %v the box reaches from %v to %v", width, height, from, to)
		}
	})
}
