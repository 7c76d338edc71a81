package pdf

import (
	"fmt"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"bellout/app/drawing"
)

func (p *pen) Text(text drawing.Text) {
	if !(text.Size > 0.05 && text.Size < 2000) || !drawing.Drawable(text.At) || !p.fill(text.Colour) {
		return
	}
	p.opaque(text.Colour.A)
	clean := drawing.Clean(text.Text)
	x, y := text.At.X, text.At.Y
	if text.Upward {
		p.file.TransformBegin()
		p.file.TransformRotate(90, x, y)
		p.font = "" // the rotation ends with the font that was before it
	}
	start, _ := text.Extent()
	p.write(clean, x+start, y, text.Size, text.Face)
	if text.Upward {
		p.file.TransformEnd()
		p.font = ""
	}
}

// write sets clean text from x on, in runs: letters of one typeface go out
// together, and so do characters that are drawn; a glyph that stands off its
// origin goes out alone.
func (p *pen) write(clean string, x, y, size float64, face drawing.Face) {
	from, start := 0, x
	way := lettered
	source := drawing.Own
	flush := func(to int, x float64) {
		switch run := clean[from:to]; {
		case run == "" || way == skipped:
		case way == drawn:
			p.drawn(run, start, y, size, face, x-start)
		case strings.TrimSpace(run) != "":
			p.choose(face, source, size)
			p.file.Text(start, y, run)
		}
		from, start = to, x
	}
	for i, r := range clean {
		glyph := drawing.Look(r, face)
		now := wayOf(r, glyph)
		if now != way || now == lettered && glyph.Source != source || glyph.Shift != 0 {
			flush(i, x)
		}
		way, source = now, glyph.Source
		start += float64(glyph.Shift) * size
		x += float64(glyph.Advance) * size
		if glyph.Shift != 0 {
			flush(i+utf8.RuneLen(r), x)
		}
	}
	flush(len(clean), x)
}

// way is how a character gets onto the page.
type way int

const (
	lettered way = iota // as a letter of an embedded typeface
	drawn               // as an outline
	skipped             // not at all: a blank
)

// wayOf: fpdf writes characters of 16 bits only.
func wayOf(r rune, glyph drawing.Glyph) way {
	switch {
	case glyph.Source == drawing.Blank:
		return skipped
	case glyph.Source == drawing.StandIn || r > 0xFFFF:
		return drawn
	}
	return lettered
}

func (p *pen) choose(face drawing.Face, source drawing.Source, size float64) {
	name := fmt.Sprintf("%d%d", face, source)
	if p.font != name {
		p.document.font(face, source)
	}
	if p.font != name || p.size != size {
		p.file.SetFontUnitSize(size)
	}
	p.font, p.size = name, size
}

// drawn draws characters as outlines, so wide together, and lays an unseen letter
// over them that stands for them when the text is searched or copied.
func (p *pen) drawn(run string, x, y, size float64, face drawing.Face, width float64) {
	p.file.RawWriteStr("/Span <</ActualText <" + utf16Hex(drawing.Legible(run)) + ">>> BDC")
	left := x
	for _, r := range run {
		p.outline(r, left, y, size, face)
		left += float64(drawing.Look(r, face).Advance) * size
	}
	p.file.DrawPath("F")
	p.choose(face, drawing.Own, size)
	squeeze := 100 * width / (float64(drawing.Look('?', face).Advance) * size)
	p.file.RawWriteStr(fmt.Sprintf("q 3 Tr %.1f Tz", squeeze))
	p.file.Text(x, y, "?")
	p.file.RawWriteStr("Q EMC")
}

// outline adds the contours of a character to the path.
func (p *pen) outline(r rune, x, y, size float64, face drawing.Face) {
	place := func(q drawing.Point) (float64, float64) { return x + q.X*size, y + q.Y*size }
	var at drawing.Point
	for _, s := range drawing.Outline(r, face) {
		switch s.Verb {
		case drawing.Move:
			p.file.MoveTo(place(s.A))
			at = s.A
		case drawing.Straight:
			p.file.LineTo(place(s.A))
			at = s.A
		case drawing.Curve: // PDF has only cubic ones
			ax, ay := place(drawing.Point{X: at.X + (s.A.X-at.X)*2/3, Y: at.Y + (s.A.Y-at.Y)*2/3})
			bx, by := place(drawing.Point{X: s.B.X + (s.A.X-s.B.X)*2/3, Y: s.B.Y + (s.A.Y-s.B.Y)*2/3})
			cx, cy := place(s.B)
			p.file.CurveBezierCubicTo(ax, ay, bx, by, cx, cy)
			at = s.B
		}
	}
}

// utf16Hex is text as PDF's hexadecimal strings hold it.
func utf16Hex(text string) string {
	var out strings.Builder
	out.WriteString("FEFF")
	for _, unit := range utf16.Encode([]rune(text)) {
		fmt.Fprintf(&out, "%04X", unit)
	}
	return out.String()
}

// simple is text for titles: nothing in it acts, and what lies past 16 bits, which
// fpdf cannot write there, is spelt out.
func simple(text string) string {
	var out strings.Builder
	for _, r := range drawing.Legible(text) {
		if r > 0xFFFF {
			fmt.Fprintf(&out, "[%06X]", r)
			continue
		}
		out.WriteRune(r)
	}
	return out.String()
}
