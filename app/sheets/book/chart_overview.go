package book

import (
	"fmt"

	"bellout/app/drawing"
)

// drawOverview draws how the pages of the chart lie beside each other, with the
// boxes in them.
func (f *facts) drawOverview(s *Sheet) {
	c := f.chart
	fl := newFlow(s, true)
	fl.page.part = "how its pages lie"
	fl.heading("How the pages of the chart lie", 60)
	fl.para("Each frame is one page; its number is in the corner. The device register says on which page and in which zone (as in "+
		"12/C4: page 12, letter C, number 4) a device stands, the wire list where a wire has its name.", style{size: smallSize, colour: soft})
	room := box(fl.left(), fl.y+2, fl.right(), fl.page.area.Max.Y)
	bounds := drawing.Box{Min: drawing.Point(c.plan.Bounds.Min), Max: drawing.Point(c.plan.Bounds.Max)}
	scale := min((room.Max.X-room.Min.X)/(bounds.Max.X-bounds.Min.X), (room.Max.Y-room.Min.Y)/(bounds.Max.Y-bounds.Min.Y))
	w := &window{part: bounds, scale: scale, on: at(
		room.Min.X+(room.Max.X-room.Min.X-scale*(bounds.Max.X-bounds.Min.X))/2, room.Min.Y)}
	p := fl.page
	p.do(func(pen drawing.Pen, b *Bound) {
		thin := drawing.Stroke{Colour: hair, Width: 0.08}
		for i := range c.plan.Wires {
			points := make([]drawing.Point, len(c.plan.Wires[i].Points))
			for k, point := range c.plan.Wires[i].Points {
				points[k] = w.at(drawing.Point(point))
			}
			pen.Line(points, thin)
		}
		for i := range c.plan.Boxes {
			r := c.plan.Boxes[i].Body
			pen.Rectangle(w.box(drawing.Box{Min: drawing.Point(r.Min), Max: drawing.Point(r.Max)}), 0, drawing.Stroke{Colour: soft, Width: 0.1}, shade)
		}
		for _, t := range c.tiles {
			frame := w.box(t.part)
			pen.Rectangle(frame, 0, drawing.Stroke{Colour: ink, Width: 0.3}, noFill)
			page, _ := b.pageOf(chartAnchor(t.number))
			text := fmt.Sprint(page)
			size := min(5, (frame.Max.Y-frame.Min.Y)*0.45, (frame.Max.X-frame.Min.X)*0.4/float64(len(text))*1.6)
			width := drawing.Measure(text, size, drawing.Bold)
			pen.Rectangle(box(frame.Min.X, frame.Min.Y, frame.Min.X+width+size*0.5, frame.Min.Y+size*1.15), 0, drawing.Stroke{Colour: ink, Width: 0.3}, paper)
			pen.Text(drawing.Text{At: at(frame.Min.X+size*0.25, frame.Min.Y+size*0.9), Text: text, Size: size, Face: drawing.Bold, Colour: ink})
			pen.Link(frame, chartAnchor(t.number))
		}
	})
}
