package book

import (
	"fmt"

	"bellout/app/drawing"
)

// The words at the foot of every page.
const (
	footOne = "Shows the map as it stood on that date. It never says that anything is safe to touch: isolate and lock off, let capacitors discharge, disconnect batteries, prove the meter, measure 0 V."
	footTwo = "Mains wiring, earth and fixed installations are for licensed people; the local electrical code goes before anything printed here."
)

// frame draws the frame and the title block of a page.
func (b *Bound) frame(number int, pen drawing.Pen) {
	p := b.page(number)
	sheet, part := b.Sheet(number)
	f := sheet.facts
	frame := frameOf(p.width, p.height)
	thick := drawing.Stroke{Colour: ink, Width: 0.5}
	thin := drawing.Stroke{Colour: ink, Width: 0.2}
	pen.Rectangle(frame, 0, thick, noFill)
	top := frame.Max.Y - blockHeight
	pen.Line([]drawing.Point{at(frame.Min.X, top), at(frame.Max.X, top)}, thick)
	if p.zones {
		drawZones(pen, p)
	}

	name := sheet.Title
	if p.part != "" {
		name += ": " + p.part
	}
	row := top + 8.4
	pen.Line([]drawing.Point{at(frame.Min.X, row), at(frame.Max.X, row)}, thin)
	width := frame.Max.X - frame.Min.X
	label := func(x, y float64, text string) {
		pen.Text(drawing.Text{At: at(x+1.2, y), Text: text, Size: 1.7, Colour: soft})
	}
	value := func(x, y, room, size float64, face drawing.Face, text string) {
		for size > tinySize && drawing.Measure(text, size, face) > room-2.4 { // a small page
			size -= 0.1
		}
		pen.Text(drawing.Text{At: at(x+1.2, y), Text: drawing.Fit(text, size, face, room-2.4), Size: size, Face: face, Colour: ink})
	}
	cells := func(y, height float64, list []blockCell) {
		x := frame.Min.X
		for i, c := range list {
			room := width * c.share
			if i > 0 {
				pen.Line([]drawing.Point{at(x, y), at(x, y+height)}, thin)
			}
			label(x, y+2.3, c.label)
			value(x, y+height-1.9, room, c.size, c.face, c.text)
			x += room
		}
	}
	cells(top, row-top, []blockCell{
		{0.34, "machine", f.job.Title, 4, drawing.Bold},
		{0.48, "sheet", name, 4, drawing.Bold},
		{0.18, "page", fmt.Sprintf("%d of %d", number, len(b.pages)), 4, drawing.Bold},
	})
	of := ""
	if sheet.Pages() > 1 {
		of = fmt.Sprintf("%d of %d", part, sheet.Pages())
	} else {
		of = "single page"
	}
	cells(row, frame.Max.Y-row, []blockCell{
		{0.2, "state", orDash(f.job.State), 3, drawing.Regular},
		{0.14, "date", day(f.job.Now), 3, drawing.Regular},
		{0.24, "coverage", f.coverage(), 3, drawing.Regular},
		{0.16, "revision", f.revision(), 3, drawing.Regular},
		{0.08, "checked", "", 3, drawing.Regular},
		{0.18, "of this sheet", of, 3, drawing.Regular},
	})
	size := 1.95
	for drawing.Measure(footOne, size, drawing.Regular) > width && size > 1 {
		size -= 0.05
	}
	pen.Text(drawing.Text{At: at(frame.Min.X, frame.Max.Y+3), Text: footOne, Size: size, Colour: ink})
	pen.Text(drawing.Text{At: at(frame.Min.X, frame.Max.Y+6), Text: footTwo, Size: size, Colour: ink})
}

type blockCell struct {
	share float64
	label string
	text  string
	size  float64
	face  drawing.Face
}

func orDash(text string) string {
	if text == "" {
		return "–"
	}
	return text
}
