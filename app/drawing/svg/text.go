package svg

import (
	"bufio"
	"strconv"

	"bellout/app/drawing"
)

// glyph is one character in one face.
type glyph struct {
	face drawing.Face
	r    rune
}

// units is how many of a glyph's units make the size of type: outlines are then
// written in whole numbers.
const units = 1000

// Text writes one line: its outlines, and unseen text over them.
func (p *page) Text(text drawing.Text) {
	clean := drawing.Clean(text.Text)
	if clean == "" || !(text.Size > 0 && text.Size < 1e5) || !drawing.Drawable(text.At) || text.Colour.A == 0 {
		return
	}
	start, length := text.Extent()
	p.put(`<g transform="translate(`)
	p.body = number(append(number(p.body, text.At.X), ' '), text.At.Y)
	p.put(`)`)
	if text.Upward {
		p.put(` rotate(-90)`)
	}
	p.put(`"><g aria-hidden="true" transform="`)
	if start != 0 {
		p.put(`translate(`)
		p.body = number(p.body, start)
		p.put(`) `)
	}
	p.put(`scale(`)
	p.body = strconv.AppendFloat(p.body, text.Size/units, 'g', 6, 64)
	p.put(`)"`)
	p.colour("fill", text.Colour)
	p.put(`>`)
	x := 0.0
	for _, r := range clean {
		if len(drawing.Outline(r, text.Face)) > 0 {
			p.put(`<use xlink:href="#g`)
			p.body = strconv.AppendInt(p.body, int64(p.numberOf(glyph{text.Face, r})), 10)
			if place := round(x); place != 0 {
				p.put(`" x="`)
				p.body = strconv.AppendInt(p.body, place, 10)
			}
			p.put(`"/>`)
		}
		x += float64(drawing.Look(r, text.Face).Advance) * units
	}
	p.put(`</g><text fill="#000" fill-opacity="0"`)
	if start != 0 {
		p.attribute("x", start)
	}
	p.attribute("font-size", text.Size)
	if length > 0 {
		p.attribute("textLength", length)
		p.put(` lengthAdjust="spacingAndGlyphs"`)
	}
	p.put(`>`)
	p.body = escape(p.body, drawing.Legible(clean))
	p.put("</text></g>\n")
}

// numberOf returns the number of a glyph on this page.
func (p *page) numberOf(g glyph) int {
	number, there := p.glyphs[g]
	if !there {
		number = len(p.order)
		p.glyphs[g] = number
		p.order = append(p.order, g)
	}
	return number
}

// writeGlyphs writes the outline of every glyph that the page uses.
func (p *page) writeGlyphs(out *bufio.Writer) {
	if len(p.order) == 0 {
		return
	}
	line := append([]byte(nil), "<defs>\n"...)
	for i, g := range p.order {
		line = append(line, `<path id="g`...)
		line = strconv.AppendInt(line, int64(i), 10)
		line = append(line, `" d="`...)
		for n, s := range drawing.Outline(g.r, g.face) {
			switch s.Verb {
			case drawing.Move:
				if n > 0 {
					line = append(line, 'Z')
				}
				line = pair(append(line, 'M'), s.A)
			case drawing.Straight:
				line = pair(append(line, 'L'), s.A)
			case drawing.Curve:
				line = pair(append(line, 'Q'), s.A)
				line = pair(append(line, ' '), s.B)
			}
		}
		line = append(line, "Z\"/>\n"...)
	}
	_, _ = out.Write(append(line, "</defs>\n"...)) // kept for Flush
}

// pair appends a point of an outline.
func pair(to []byte, p drawing.Point) []byte {
	to = strconv.AppendInt(to, round(p.X*units), 10)
	return strconv.AppendInt(append(to, ' '), round(p.Y*units), 10)
}

func round(v float64) int64 {
	if v < 0 {
		return int64(v - 0.5)
	}
	return int64(v + 0.5)
}

// escape appends text so that it is text in XML, in an element or between double
// quotes. What XML 1.0 has no place for, however written, becomes U+FFFD.
func escape(to []byte, text string) []byte {
	for _, r := range text {
		switch {
		case r == '&':
			to = append(to, "&amp;"...)
		case r == '<':
			to = append(to, "&lt;"...)
		case r == '>':
			to = append(to, "&gt;"...)
		case r == '"':
			to = append(to, "&quot;"...)
		case r < ' ' && r != '\t' && r != '\n' && r != '\r', r == 0xFFFE, r == 0xFFFF:
			to = append(to, "\uFFFD"...)
		default:
			to = append(to, string(r)...)
		}
	}
	return to
}
