package scene

import (
	"image/color"

	"bellout/app/drawing"
)

// The legend lies in the lower left corner, in units of the screen.
const (
	legendAside = 10.0
	legendLine  = 19.0
	legendType  = 12.0
	legendMark  = 46.0 // room for the sample before the words
	legendPad   = 10.0
)

// entry is one line of the legend: a sample, drawn about a point in the middle of
// its room, and what it means.
type entry struct {
	words  string
	sample func(d *drawer, at drawing.Point)
}

// entries are the lines of the legend. Paths, and wires that
// are gone, are explained only while there are some.
func (d *drawer) entries() []entry {
	line := func(width float64, dash ...float64) func(*drawer, drawing.Point) {
		return func(d *drawer, at drawing.Point) {
			stroke := d.stroke(d.Palette.Ink, width)
			for _, length := range dash {
				stroke.Dash = append(stroke.Dash, d.px(length))
			}
			d.pen.Line(d.level(at, 19), stroke)
		}
	}
	list := []entry{
		{"a reading proves the wire", line(2)},
		{"not proven yet", line(2, 6, 4)},
		{"part of a fault", func(d *drawer, at drawing.Point) {
			line(2)(d, at)
			for _, x := range []float64{-15, 15} {
				p := drawing.Point{X: at.X + d.px(x), Y: at.Y}
				d.small(p, d.px(4), d.stroke(d.Palette.Bad, 1.6))
			}
			d.flagOf(at, 7, true)
		}},
		{"rail, return, earth or mains", line(3)},
		{"insulation colour not known", func(d *drawer, at drawing.Point) {
			d.pen.Line(d.level(at, 19), d.stroke(d.Palette.Soft, 2))
			for _, x := range []float64{-9, 0, 9} {
				d.pen.Rectangle(square(drawing.Point{X: at.X + d.px(x), Y: at.Y}, d.px(2)), 0, d.stroke(d.Palette.Soft, 1), d.Palette.Box)
			}
		}},
		{"wired / free point", func(d *drawer, at drawing.Point) {
			d.pen.Circle(drawing.Point{X: at.X - d.px(8), Y: at.Y}, d.px(3), none, d.Palette.Ink)
			d.pen.Circle(drawing.Point{X: at.X + d.px(8), Y: at.Y}, d.px(3), d.stroke(d.Palette.Ink, 1), d.Palette.Box)
		}},
		{"failed", func(d *drawer, at drawing.Point) {
			box := drawing.Box{Min: drawing.Point{X: at.X - d.px(14), Y: at.Y - d.px(6)}, Max: drawing.Point{X: at.X + d.px(14), Y: at.Y + d.px(6)}}
			d.pen.Rectangle(box, 0, d.stroke(d.Palette.Bad, 2), noFill)
			d.small(at, d.px(5), d.stroke(d.Palette.Bad, 1.8))
		}},
		{"not tested", func(d *drawer, at drawing.Point) {
			d.write("?", at, 13, d.Palette.Warn)
		}},
	}
	if len(d.Gone) > 0 {
		list = append(list, entry{"was there before", func(d *drawer, at drawing.Point) {
			stroke := d.stroke(d.Palette.Bad, 2)
			for _, length := range goneDash {
				stroke.Dash = append(stroke.Dash, d.px(length))
			}
			d.pen.Line(d.level(at, 19), stroke)
		}})
	}
	if d.Lit.On() {
		for kind := Feed; kind < PathKinds; kind++ {
			if d.Lit.Kinds[kind] == 0 {
				continue
			}
			list = append(list, entry{PathNames[kind] + " path", func(d *drawer, at drawing.Point) {
				stroke := d.stroke(d.Palette.Paths[kind], 7)
				for _, length := range patterns[kind] {
					stroke.Dash = append(stroke.Dash, d.px(length))
				}
				d.pen.Line(d.level(at, 19), stroke)
				d.badge(at, letters[kind], d.Palette.Paths[kind])
			}})
		}
	}
	return list
}

// level are the ends of a level line about a point, in units of the screen.
func (d *drawer) level(at drawing.Point, half float64) []drawing.Point {
	return []drawing.Point{{X: at.X - d.px(half), Y: at.Y}, {X: at.X + d.px(half), Y: at.Y}}
}

// write writes a short bold text about a point, in the size of the screen.
func (d *drawer) write(text string, at drawing.Point, size float64, c color.NRGBA) {
	d.pen.Text(drawing.Text{
		At: drawing.Point{X: at.X, Y: at.Y + d.px(size*drawing.CapHeight()/2)}, Text: text,
		Size: d.px(size), Face: drawing.Bold, Align: drawing.Centre, Colour: c,
	})
}

// legendBox is where the legend lies, in units of the screen.
func (d *drawer) legendBox(list []entry) drawing.Box {
	width := 0.0
	for _, e := range list {
		width = max(width, drawing.Measure(e.words, legendType, drawing.Regular))
	}
	width += legendMark + 2*legendPad
	height := float64(len(list))*legendLine + 2*legendPad - 4
	corner := drawing.Point{X: legendAside, Y: d.Height - legendAside - height}
	return drawing.Box{Min: corner, Max: drawing.Point{X: corner.X + width, Y: corner.Y + height}}
}

// LegendFits says that the legend would lie beside the chart and cover nothing.
func (s *Scene) LegendFits(f *Frame) bool {
	d := &drawer{Scene: s, Frame: f}
	box := d.legendBox(d.entries())
	if box.Min.Y < legendAside || box.Max.X > f.Width-legendAside {
		return false
	}
	inside := drawing.Box{Min: f.ToScene(box.Min), Max: f.ToScene(box.Max)}
	fits := true
	s.grid.near(inside, func(it item) {
		switch it.kind {
		case itemBox:
			fits = fits && !touch(s.boxes[it.at].outline, inside)
		case itemRun:
			w := &s.wires[it.at]
			fits = fits && !touch(span(w.points[it.part], w.points[it.part+1]), inside)
		}
	})
	return fits
}

func (d *drawer) legend() {
	list := d.entries()
	box := d.legendBox(list)
	at := func(x, y float64) drawing.Point {
		return d.ToScene(drawing.Point{X: box.Min.X + x, Y: box.Min.Y + y})
	}
	d.pen.Rectangle(drawing.Box{Min: at(0, 0), Max: d.ToScene(box.Max)}, d.px(4), d.stroke(d.Palette.Line, 1), d.Palette.Box)
	for i, e := range list {
		y := legendPad + legendLine*(float64(i)+0.5) - 2
		e.sample(d, at(legendPad+legendMark/2-3, y))
		words := at(legendPad+legendMark, y)
		words.Y += d.px(legendType * drawing.CapHeight() / 2)
		d.pen.Text(drawing.Text{At: words, Text: e.words, Size: d.px(legendType), Colour: d.Palette.Ink})
	}
}
