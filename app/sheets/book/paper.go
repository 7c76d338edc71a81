package book

import (
	"fmt"
	"strings"

	"bellout/app/drawing"
)

// Paper is a size of paper.
type Paper string

// The papers: A4 of ISO 216, Letter of ANSI/ASME Y14.1 (sizes from memory), and A5,
// which a card inside a door has room for.
const (
	A4     Paper = "a4"
	A5     Paper = "a5"
	Letter Paper = "letter"
)

// Papers lists every size.
var Papers = []Paper{A4, A5, Letter}

// ParsePaper reads the name of a size.
func ParsePaper(text string) (Paper, error) {
	for _, p := range Papers {
		if strings.EqualFold(text, string(p)) {
			return p, nil
		}
	}
	return "", fmt.Errorf("no paper %q; write a4, a5 or letter", text)
}

// size returns width and height in millimetres.
func (p Paper) size(landscape bool) (width, height float64) {
	width, height = 210, 297
	switch p {
	case A5:
		width, height = 148, 210
	case Letter:
		width, height = 215.9, 279.4
	}
	if landscape {
		return height, width
	}
	return width, height
}

// The frame: room for holes on the left, the title block inside at the foot.
const (
	marginLeft  = 15.0
	margin      = 8.0
	blockHeight = 16.0 // of the title block
	cautionRoom = 7.0  // between frame and the lower edge of the paper
	inner       = 3.5  // from the frame to what stands in it
)

// frameOf is the frame of a page.
func frameOf(width, height float64) drawing.Box {
	return box(marginLeft, margin, width-margin, height-cautionRoom-margin/2)
}

// areaOf is the part of a page that a sheet may draw on.
func areaOf(width, height float64) drawing.Box {
	f := frameOf(width, height)
	return box(f.Min.X+inner, f.Min.Y+inner, f.Max.X-inner, f.Max.Y-blockHeight-inner+1)
}

func at(x, y float64) drawing.Point { return drawing.Point{X: x, Y: y} }

func box(x0, y0, x1, y1 float64) drawing.Box { return drawing.Box{Min: at(x0, y0), Max: at(x1, y1)} }
