package svg

import (
	"bufio"
	"net/url"
	"strconv"

	"bellout/app/drawing"
)

// Link makes a box lead to an anchor.
func (p *page) Link(box drawing.Box, name string) {
	if drawing.Drawable(box.Min, box.Max) {
		p.links = append(p.links, link{box, name})
	}
}

// Anchor names a place; the first anchor of a name counts. Titles are for lists of
// contents, which SVG has none of: the place itself bears it.
func (p *page) Anchor(at drawing.Point, name, title string) {
	d := p.document
	if _, there := d.anchors[name]; there || !drawing.Drawable(at) {
		return
	}
	// Names of devices hold signs that an XML id may not: places are numbered.
	a := anchor{page: p.number, at: at, id: "a" + strconv.Itoa(len(d.anchors)+1)}
	d.anchors[name] = a
	p.put(`<g id="` + a.id + `"><path d="M`)
	p.body = number(append(number(p.body, at.X), ' '), at.Y)
	p.put(`h1v1"/>`)
	if title != "" {
		p.body = escape(append(p.body, "<title>"...), drawing.Legible(title))
		p.put("</title>")
	}
	p.put("</g>\n")
}

// writeLinks lays the links over everything else, so that nothing takes the click.
func (p *page) writeLinks(out *bufio.Writer) {
	for _, l := range p.links {
		a, there := p.document.anchors[l.to]
		target := "#" + a.id
		if there && a.page != p.number {
			if p.document.name == nil {
				continue
			}
			file := url.URL{Path: p.document.name(a.page)}
			target = file.String() + target
		}
		if !there {
			continue
		}
		line := append([]byte(nil), `<a xlink:href="`...)
		line = append(escape(line, target), `"><rect x="`...)
		line = append(number(line, min(l.box.Min.X, l.box.Max.X)), `" y="`...)
		line = append(number(line, min(l.box.Min.Y, l.box.Max.Y)), `" width="`...)
		line = append(number(line, max(l.box.Max.X-l.box.Min.X, l.box.Min.X-l.box.Max.X)), `" height="`...)
		line = append(number(line, max(l.box.Max.Y-l.box.Min.Y, l.box.Min.Y-l.box.Max.Y)), `" pointer-events="all"/></a>`+"\n"...)
		_, _ = out.Write(line) // kept for Flush
	}
}
