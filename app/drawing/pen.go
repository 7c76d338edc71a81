// Package drawing describes what a drawing is made of, once, for the three
// places where it appears: the window (drawing/screen), a PDF (drawing/pdf) and
// an SVG page (drawing/svg). A chart or a sheet draws with a Pen and does not
// know which of them it is.
//
// Lengths are in one unit a drawing: millimetres on paper, the chart's own
// units in the window. x grows to the right, y downward.
package drawing

import (
	"image"
	"image/color"
)

// Point is a place on the drawing.
type Point struct{ X, Y float64 }

// Box is an upright rectangle; Min is its upper left corner.
type Box struct{ Min, Max Point }

// Stroke is how a line is drawn. No line is drawn where Width is 0.
type Stroke struct {
	Colour color.NRGBA
	Width  float64
	Dash   []float64 // lengths of ink and gap in turn; nil is a whole line
}

// Face is one of the typefaces.
type Face int

// The faces: text, and mono where digits must stand under each other.
const (
	Regular Face = iota
	Bold
	Mono
	MonoBold
)

// Align says which end of a text stands at its point.
type Align int

// Where a text stands.
const (
	Left Align = iota
	Centre
	Right
)

// Text is one line of text. At is on its base line.
type Text struct {
	At     Point
	Text   string
	Size   float64 // of the type, in the drawing's unit: the height of a line is about 1.2 of it
	Face   Face
	Align  Align
	Upward bool // turned a quarter, to be read from the right-hand side
	Colour color.NRGBA
}

// Pen draws. A colour with no alpha draws nothing, so that a fill or a stroke
// can be left out.
type Pen interface {
	// Line draws along points, two or more.
	Line(points []Point, stroke Stroke)
	// Polygon closes the way through points.
	Polygon(points []Point, stroke Stroke, fill color.NRGBA)
	// Rectangle draws a box with corners rounded by a radius.
	Rectangle(box Box, radius float64, stroke Stroke, fill color.NRGBA)
	// Circle draws a circle.
	Circle(centre Point, radius float64, stroke Stroke, fill color.NRGBA)
	// Text writes one line.
	Text(text Text)
	// Picture fits a picture into a box, as large as its shape allows, centred.
	Picture(picture image.Image, box Box)
	// Link makes a box lead to an anchor of the same document. A place without
	// links, such as the window, leaves it out.
	Link(box Box, anchor string)
	// Anchor gives a point of the page a name that Link can lead to. title is
	// for the list of contents; it may be empty.
	Anchor(at Point, name, title string)
}

// Document is a run of pages.
type Document interface {
	// Page begins a new page of a size in millimetres and returns its pen, which
	// serves until the next page begins.
	Page(width, height float64, title string) Pen
}
