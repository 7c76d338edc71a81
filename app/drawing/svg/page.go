package svg

import (
	"bufio"
	"encoding/base64"
	"image"
	"image/color"
	"math"
	"strconv"

	"bellout/app/drawing"
)

// page is one page and its pen. What is drawn collects in body; links are known
// only when all pages are drawn.
type page struct {
	document      *Document
	number        int
	width, height float64
	title         string
	body          []byte
	glyphs        map[glyph]int // to its number on this page
	order         []glyph
	links         []link
}

type link struct {
	box drawing.Box
	to  string
}

// write writes the page as a file.
func (p *page) write(out *bufio.Writer) {
	head := append([]byte(nil), `<?xml version="1.0" encoding="UTF-8"?>`+"\n"...)
	head = append(head, `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="`...)
	head = append(number(head, p.width), `mm" height="`...)
	head = append(number(head, p.height), `mm" viewBox="0 0 `...)
	head = append(number(append(number(head, p.width), ' '), p.height), `" fill="none" stroke-miterlimit="4" font-family="sans-serif" xml:space="preserve">`+"\n"...)
	if p.title != "" {
		head = append(escape(append(head, `<title>`...), drawing.Legible(p.title)), "</title>\n"...)
	}
	_, _ = out.Write(head) // a bufio.Writer keeps its error for Flush
	p.writeGlyphs(out)
	_, _ = out.Write(p.body)
	p.writeLinks(out)
	_, _ = out.WriteString("</svg>\n")
}

// number appends a length or a place to the thousandth.
func number(to []byte, v float64) []byte {
	v = math.Round(v*1000) / 1000
	if v == 0 {
		v = 0 // not -0
	}
	return strconv.AppendFloat(to, v, 'f', -1, 64)
}

func (p *page) put(text string) { p.body = append(p.body, text...) }

// attribute appends a number with its name.
func (p *page) attribute(name string, v float64) {
	p.body = append(append(append(p.body, ' '), name...), `="`...)
	p.body = append(number(p.body, v), '"')
}

// colour appends a colour and how one sees through it.
func (p *page) colour(name string, c color.NRGBA) {
	const digits = "0123456789abcdef"
	p.body = append(append(append(p.body, ' '), name...), `="#`...)
	for _, v := range [3]uint8{c.R, c.G, c.B} {
		p.body = append(p.body, digits[v>>4], digits[v&15])
	}
	p.put(`"`)
	if c.A < 255 {
		p.attribute(name+"-opacity", float64(c.A)/255)
	}
}

// paint appends how a shape is filled and drawn round, and ends it.
func (p *page) paint(stroke drawing.Stroke, fill color.NRGBA) {
	if fill.A > 0 {
		p.colour("fill", fill)
	}
	if stroke.Seen() {
		p.colour("stroke", stroke.Colour)
		p.attribute("stroke-width", stroke.Width)
		if dash := stroke.Dashes(); dash != nil {
			p.put(` stroke-dasharray="`)
			for i, length := range dash {
				if i > 0 {
					p.put(" ")
				}
				p.body = number(p.body, length)
			}
			p.put(`"`)
		}
	}
	p.put("/>\n")
}

func (p *page) way(points []drawing.Point) {
	for i, q := range points {
		switch {
		case i == 0:
			p.put("M")
		case q.Y == points[i-1].Y:
			p.body = number(append(p.body, 'H'), q.X)
			continue
		case q.X == points[i-1].X:
			p.body = number(append(p.body, 'V'), q.Y)
			continue
		default:
			p.put("L")
		}
		p.body = number(append(number(p.body, q.X), ' '), q.Y)
	}
}

func (p *page) Line(points []drawing.Point, stroke drawing.Stroke) {
	if len(points) < 2 || !drawing.Drawable(points...) || !stroke.Seen() {
		return
	}
	p.put(`<path d="`)
	p.way(points)
	p.put(`"`)
	p.paint(stroke, color.NRGBA{})
}

func (p *page) Polygon(points []drawing.Point, stroke drawing.Stroke, fill color.NRGBA) {
	if len(points) < 2 || !drawing.Drawable(points...) || !stroke.Seen() && fill.A == 0 {
		return
	}
	p.put(`<path d="`)
	p.way(points)
	p.put(`Z"`)
	p.paint(stroke, fill)
}

func (p *page) Rectangle(box drawing.Box, radius float64, stroke drawing.Stroke, fill color.NRGBA) {
	if !drawing.Drawable(box.Min, box.Max) || !stroke.Seen() && fill.A == 0 {
		return
	}
	width, height := math.Abs(box.Max.X-box.Min.X), math.Abs(box.Max.Y-box.Min.Y)
	p.put(`<rect`)
	p.attribute("x", min(box.Min.X, box.Max.X))
	p.attribute("y", min(box.Min.Y, box.Max.Y))
	p.attribute("width", width)
	p.attribute("height", height)
	if radius = min(radius, width/2, height/2); radius > 0 {
		p.attribute("rx", radius)
	}
	p.paint(stroke, fill)
}

func (p *page) Circle(centre drawing.Point, radius float64, stroke drawing.Stroke, fill color.NRGBA) {
	if !drawing.Drawable(centre) || !(radius > 0 && radius < 1e6) || !stroke.Seen() && fill.A == 0 {
		return
	}
	p.put(`<circle`)
	p.attribute("cx", centre.X)
	p.attribute("cy", centre.Y)
	p.attribute("r", radius)
	p.paint(stroke, fill)
}

// Picture embeds a picture in the page.
func (p *page) Picture(picture image.Image, box drawing.Box) {
	place, ok := drawing.Place(picture, box)
	if !ok || !drawing.Drawable(place.Min, place.Max) {
		return
	}
	encoded, err := p.document.pictures.Encode(picture, place.Max.X-place.Min.X)
	if err != nil {
		p.document.fail(err)
		return
	}
	p.put(`<image`)
	p.attribute("x", place.Min.X)
	p.attribute("y", place.Min.Y)
	p.attribute("width", place.Max.X-place.Min.X)
	p.attribute("height", place.Max.Y-place.Min.Y)
	kind := "png"
	if encoded.JPEG {
		kind = "jpeg"
	}
	p.put(` xlink:href="data:image/` + kind + `;base64,`)
	p.body = base64.StdEncoding.AppendEncode(p.body, encoded.Bytes)
	p.put("\"/>\n")
}
