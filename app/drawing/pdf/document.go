// Package pdf writes drawings as one PDF: vector graphics, the typefaces embedded
// as far as they are used, text that can be searched and copied, links from page
// to page, and a list of contents.
package pdf

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"time"

	"bellout/app/drawing"

	"codeberg.org/go-pdf/fpdf"
)

// Info is what a document says of itself. Created must be given: the same drawing
// with the same Info gives the same bytes.
type Info struct {
	Title   string
	Subject string
	Author  string
	Created time.Time
}

// Document is a PDF in the making. Mistakes in what is drawn, such as a picture
// that cannot be written, are kept and come out of Write.
type Document struct {
	file     *fpdf.Fpdf
	pages    []page
	anchors  map[string]anchor
	links    []link
	fonts    map[string]bool
	pictures drawing.Encoder
	err      error
	written  []byte
}

type page struct {
	title  string
	height float64
}

type anchor struct {
	page  int // from 1
	y     float64
	title string
	order int
}

type link struct {
	page int
	box  drawing.Box
	to   string
}

var _ drawing.Document = (*Document)(nil)

// New begins a document.
func New(info Info) *Document {
	file := fpdf.New("P", "mm", "A4", "")
	file.SetMargins(0, 0, 0)
	file.SetCellMargin(0)
	file.SetAutoPageBreak(false, 0)
	file.SetCatalogSort(true) // else the order of fonts changes from run to run
	file.SetCreationDate(info.Created.UTC())
	file.SetModificationDate(info.Created.UTC())
	file.SetProducer("Bellout", false)
	file.SetCreator("Bellout", false)
	file.SetLang("en")
	set := func(into func(string, bool), text string) {
		if text != "" {
			into(simple(text), true)
		}
	}
	set(file.SetTitle, info.Title)
	set(file.SetSubject, info.Subject)
	set(file.SetAuthor, info.Author)
	return &Document{
		file:    file,
		anchors: map[string]anchor{},
		fonts:   map[string]bool{},
	}
}

// The sizes of pages that PDF viewers agree on, in millimetres: 14400 points at
// most (ISO 32000-1 Annex C, from memory).
const (
	shortest = 2.0
	longest  = 5080.0
)

// Page begins a page. Its title, unless empty, becomes an entry of the list of
// contents, above those of the anchors on it.
func (d *Document) Page(width, height float64, title string) drawing.Pen {
	if !(width >= shortest && width <= longest && height >= shortest && height <= longest) {
		d.fail(fmt.Errorf("page %d, %q: %g by %g mm; a page is %g to %g mm long", len(d.pages)+1, title, width, height, shortest, longest))
		width, height = 210, 297
	}
	d.file.AddPageFormat("P", fpdf.SizeType{Wd: width, Ht: height})
	d.pages = append(d.pages, page{title, height})
	d.file.RawWriteStr("4 M") // corners are mitred as on the other places: SVG's limit
	return &pen{document: d, file: d.file, number: len(d.pages)}
}

// Pages returns how many pages were begun.
func (d *Document) Pages() int { return len(d.pages) }

func (d *Document) fail(err error) {
	if d.err == nil {
		d.err = err
	}
}

// Write ends the document and writes it. Links to an anchor that no page has are
// left out: a sheet alone points at sheets that are not with it. What was drawn
// wrongly, or a writer that fails, is an error; nothing is written in the first
// case. Written again, it is the same.
func (d *Document) Write(w io.Writer) error {
	if d.written == nil && d.err == nil {
		d.finish()
	}
	if d.err != nil {
		return fmt.Errorf("the PDF cannot be made: %w", d.err)
	}
	_, err := w.Write(d.written)
	return err
}

func (d *Document) finish() {
	if len(d.pages) == 0 {
		d.fail(fmt.Errorf("it has no page"))
		return
	}
	// fpdf reckons bookmarks and links with the height of its last page: they are
	// shifted by the difference, and set only now, when all anchors are known.
	last := d.pages[len(d.pages)-1].height
	ids := map[string]int{}
	for _, l := range d.links {
		target, there := d.anchors[l.to]
		if !there {
			continue
		}
		id, there := ids[l.to]
		if !there {
			id = d.file.AddLink()
			d.file.SetLink(id, max(target.y, 0), target.page)
			ids[l.to] = id
		}
		shift := last - d.pages[l.page-1].height
		d.file.SetPage(l.page)
		d.file.Link(l.box.Min.X, l.box.Min.Y+shift, l.box.Max.X-l.box.Min.X, l.box.Max.Y-l.box.Min.Y, id)
	}
	d.contents(last)
	d.file.SetPage(len(d.pages))
	var out bytes.Buffer
	if err := d.file.Output(&out); err != nil {
		d.fail(err)
		return
	}
	d.written = out.Bytes()
}

// contents lists the titles of pages and, under them, of their anchors.
func (d *Document) contents(last float64) {
	byPage := map[int][]anchor{}
	for _, a := range d.anchors {
		if a.title != "" {
			byPage[a.page] = append(byPage[a.page], a)
		}
	}
	// Titles are written in UTF-16 only while such a font is chosen.
	d.font(drawing.Regular, drawing.Own)
	d.file.SetPage(len(d.pages))
	for i, p := range d.pages {
		number, level := i+1, 0
		anchors := byPage[number]
		slices.SortFunc(anchors, func(a, b anchor) int { return a.order - b.order })
		d.file.SetPage(number)
		shift := last - p.height
		if p.title != "" {
			d.file.Bookmark(simple(p.title), 0, shift)
			level = 1
		}
		for _, a := range anchors {
			if a.title == p.title { // says the same as the page's own entry
				continue
			}
			d.file.Bookmark(simple(a.title), level, max(a.y, 0)+shift)
		}
	}
}

// font chooses a typeface, adding it at first use.
func (d *Document) font(face drawing.Face, source drawing.Source) string {
	name := fmt.Sprintf("f%d%d", face, source)
	if !d.fonts[name] {
		d.fonts[name] = true
		d.file.AddUTF8FontFromBytes(name, "", slices.Clone(drawing.Font(face, source)))
	}
	d.file.SetFont(name, "", 0)
	return name
}
