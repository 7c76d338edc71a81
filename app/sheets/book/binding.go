package book

import (
	"context"
	"fmt"

	"bellout/app/drawing"
)

// Bound is a run of sheets whose pages are numbered through. It does not change;
// its pages may be drawn in any order, each as often as one likes.
type Bound struct {
	sheets []*Sheet
	pages  []boundPage
	at     map[string]int // the page, from 1, of every anchor
}

type boundPage struct {
	sheet  *Sheet
	number int // within the sheet, from 0
}

// Bind numbers the pages of sheets that go together: those of a book, or one alone.
// Pages refer to each other by these numbers; a reference to a sheet that is not
// among them is left out.
func Bind(sheets ...*Sheet) *Bound {
	b := &Bound{sheets: sheets, at: map[string]int{}}
	for _, s := range sheets {
		for i, p := range s.pages {
			b.pages = append(b.pages, boundPage{s, i})
			for _, a := range p.anchors {
				if _, there := b.at[a.name]; !there {
					b.at[a.name] = len(b.pages)
				}
			}
		}
	}
	return b
}

// Pages returns how many pages there are.
func (b *Bound) Pages() int { return len(b.pages) }

// Size returns the size of a page in millimetres, pages counted from 1.
func (b *Bound) Size(page int) (width, height float64) {
	p := b.page(page)
	return p.width, p.height
}

// Sheet returns the sheet that a page belongs to, and its number within it, from 1.
func (b *Bound) Sheet(page int) (sheet *Sheet, number int) {
	at := b.pages[page-1]
	return at.sheet, at.number + 1
}

func (b *Bound) page(page int) *page {
	at := b.pages[page-1]
	return at.sheet.pages[at.number]
}

// pageOf returns the page that holds an anchor; false where none of them does.
func (b *Bound) pageOf(anchor string) (int, bool) {
	page, there := b.at[anchor]
	return page, there
}

// Draw draws a page, counted from 1, in millimetres.
func (b *Bound) Draw(page int, pen drawing.Pen) {
	p := b.page(page)
	for _, a := range p.anchors {
		if b.at[a.name] == page {
			pen.Anchor(a.at, a.name, a.title)
		}
	}
	for _, draw := range p.ops {
		draw(pen, b)
	}
	b.frame(page, pen)
}

// Write draws all pages into a document. It ends with ctx's error when it is
// stopped.
func Write(ctx context.Context, doc drawing.Document, b *Bound, progress Progress) error {
	for i := 1; i <= len(b.pages); i++ {
		if err := ctx.Err(); err != nil {
			return err
		}
		if progress != nil {
			progress("Pages", i-1, len(b.pages))
		}
		width, height := b.Size(i)
		b.Draw(i, doc.Page(width, height, ""))
	}
	if progress != nil {
		progress("Pages", len(b.pages), len(b.pages))
	}
	return nil
}

// PageName returns the name of the file of a page where each has its own.
func (b *Bound) PageName(page int) string {
	sheet, number := b.Sheet(page)
	return fmt.Sprintf("%0*d-%s-%d.svg", max(2, len(fmt.Sprint(len(b.pages)))), page, sheet.Name, number)
}
