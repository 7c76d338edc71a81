// Package svg writes drawings as SVG pages, each a file of its own.
//
// Text is drawn twice: as outlines, so that it looks the same everywhere, and
// over them as unseen text that is selected, copied, searched and read aloud. An
// embedded typeface would do for browsers, but the programs that turn SVG into
// pictures for file managers and word processors leave it out and take another
// typeface, with other widths. The outline of each character stands once a page.
package svg

import (
	"bufio"
	"errors"
	"fmt"
	"io"

	"bellout/app/drawing"
)

// Document is a run of pages in the making. Mistakes in what is drawn are kept and
// come out of WritePage.
type Document struct {
	name     func(page int) string
	pages    []*page
	anchors  map[string]anchor
	pictures drawing.Encoder
	err      error
}

type anchor struct {
	page int
	at   drawing.Point
	id   string
}

var _ drawing.Document = (*Document)(nil)

// New begins a document. name returns the name of a page's file, pages counted
// from 1: links from page to page lead there. It may be nil, when every file goes
// alone: links to other pages are then left out.
func New(name func(page int) string) *Document {
	return &Document{name: name, anchors: map[string]anchor{}}
}

// Page begins a page.
func (d *Document) Page(width, height float64, title string) drawing.Pen {
	number := len(d.pages) + 1
	if !(width > 0 && width < 1e5 && height > 0 && height < 1e5) {
		d.fail(fmt.Errorf("page %d, %q: %g by %g mm is no size", number, title, width, height))
		width, height = 210, 297
	}
	p := &page{document: d, number: number, width: width, height: height, title: title, glyphs: map[glyph]int{}}
	d.pages = append(d.pages, p)
	return p
}

// Pages returns how many pages were begun.
func (d *Document) Pages() int { return len(d.pages) }

func (d *Document) fail(err error) {
	if d.err == nil {
		d.err = err
	}
}

// WritePage writes one page, counted from 1, when all pages are drawn. Links to
// an anchor that no page has are left out. Errors: what was drawn wrongly, a page
// that there is not, a writer that fails.
func (d *Document) WritePage(number int, w io.Writer) error {
	if d.err != nil {
		return fmt.Errorf("the SVG cannot be made: %w", d.err)
	}
	if number < 1 || number > len(d.pages) {
		return fmt.Errorf("the SVG cannot be made: there is no page %d of %d", number, len(d.pages))
	}
	out := bufio.NewWriter(w)
	d.pages[number-1].write(out)
	return out.Flush()
}

// Write writes the one page of a document that has but one.
func (d *Document) Write(w io.Writer) error {
	if d.err == nil && len(d.pages) != 1 {
		return errors.New("the SVG cannot be made: a file holds one page")
	}
	return d.WritePage(1, w)
}
