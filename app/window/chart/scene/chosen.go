package scene

import (
	"bellout/app/drawing"
	"bellout/app/session"
	"bellout/model"
)

// chosen frames the thing that is selected.
func (d *drawer) chosen() {
	stroke := d.stroke(d.Palette.Accent, 2.5)
	switch d.Selected.Kind {
	case session.Device:
		if at, there := d.Plan.Box(d.Selected.Name); there {
			frame := grown(d.boxes[at].outline, max(4, d.px(4)))
			if d.boxes[at].health == model.HealthFailed { // the word below stays inside
				frame = grown(frame, max(3, d.px(3)))
				frame.Max.Y += 3
			}
			d.pen.Rectangle(frame, max(4, d.px(4)), stroke, noFill)
		}
	case session.Terminal:
		if end, there := d.end(d.Selected.Name); there {
			p := &d.boxes[end.Box].ports[end.Port]
			d.pen.Circle(p.at, max(6, d.px(6)), stroke, noFill)
			if d.boxes[end.Box].Ports[end.Port].Through {
				d.pen.Circle(p.far, max(6, d.px(6)), stroke, noFill)
			}
		}
	case session.Wire:
		if at, there := d.Plan.Wire(d.Selected.Name); there && d.wires[at].here {
			for _, p := range []drawing.Point{d.wires[at].points[0], d.wires[at].points[len(d.wires[at].points)-1]} {
				d.pen.Circle(p, max(5, d.px(5)), stroke, noFill)
			}
		}
	}
}
