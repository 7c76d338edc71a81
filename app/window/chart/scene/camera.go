package scene

import (
	"math"

	"bellout/app/drawing"
)

// How far in and out one can go: from a machine of thousands of devices in one
// look to a terminal as large as a coin.
const (
	MinScale = 0.004
	MaxScale = 6.0
)

// Camera is where one looks: Origin is the point of the chart at the upper left
// corner of the screen, Scale how many units of the screen one of the chart has.
type Camera struct {
	Origin drawing.Point
	Scale  float64
}

// ToScreen returns where a point of the chart lies on the screen.
func (c Camera) ToScreen(p drawing.Point) drawing.Point {
	return drawing.Point{X: (p.X - c.Origin.X) * c.Scale, Y: (p.Y - c.Origin.Y) * c.Scale}
}

// ToScene returns which point of the chart lies at a place of the screen.
func (c Camera) ToScene(p drawing.Point) drawing.Point {
	return drawing.Point{X: p.X/c.Scale + c.Origin.X, Y: p.Y/c.Scale + c.Origin.Y}
}

// Seen is the part of the chart on a screen of that size.
func (c Camera) Seen(width, height float64) drawing.Box {
	return drawing.Box{Min: c.Origin, Max: c.ToScene(drawing.Point{X: width, Y: height})}
}

// Panned moves the chart by so many units of the screen.
func (c Camera) Panned(dx, dy float64) Camera {
	c.Origin.X -= dx / c.Scale
	c.Origin.Y -= dy / c.Scale
	return c
}

// Zoomed is larger by a factor, within the limits; what lies at a place of the
// screen stays there.
func (c Camera) Zoomed(at drawing.Point, factor float64) Camera {
	fixed := c.ToScene(at)
	c.Scale = clampScale(c.Scale * factor)
	c.Origin = drawing.Point{X: fixed.X - at.X/c.Scale, Y: fixed.Y - at.Y/c.Scale}
	return c
}

// CentredOn shows a point of the chart in the middle.
func (c Camera) CentredOn(p drawing.Point, width, height float64) Camera {
	c.Origin = drawing.Point{X: p.X - width/2/c.Scale, Y: p.Y - height/2/c.Scale}
	return c
}

// Fitted shows a box of the chart as large as it goes, but not larger than most,
// with a margin in units of the screen.
func Fitted(box drawing.Box, width, height, margin, most float64) Camera {
	w, h := max(box.Max.X-box.Min.X, 1), max(box.Max.Y-box.Min.Y, 1)
	scale := min(max(width-2*margin, 1)/w, max(height-2*margin, 1)/h, most)
	c := Camera{Scale: clampScale(scale)}
	return c.CentredOn(middle(box), width, height)
}

func clampScale(scale float64) float64 {
	if math.IsNaN(scale) {
		return 1
	}
	return min(max(scale, MinScale), MaxScale)
}

func middle(box drawing.Box) drawing.Point {
	return drawing.Point{X: (box.Min.X + box.Max.X) / 2, Y: (box.Min.Y + box.Max.Y) / 2}
}

// touch says that two boxes have a point in common.
func touch(a, b drawing.Box) bool {
	return a.Min.X <= b.Max.X && b.Min.X <= a.Max.X && a.Min.Y <= b.Max.Y && b.Min.Y <= a.Max.Y
}

// grown is a box with a margin.
func grown(box drawing.Box, by float64) drawing.Box {
	box.Min.X, box.Min.Y, box.Max.X, box.Max.Y = box.Min.X-by, box.Min.Y-by, box.Max.X+by, box.Max.Y+by
	return box
}

// within says that a point lies in a box.
func within(box drawing.Box, p drawing.Point) bool {
	return p.X >= box.Min.X && p.X <= box.Max.X && p.Y >= box.Min.Y && p.Y <= box.Max.Y
}
