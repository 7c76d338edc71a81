package book

import (
	"image/color"

	"bellout/app/drawing"
)

// flow sets one thing under another, and begins a new page where the next one has
// no room.
type flow struct {
	sheet     *Sheet
	landscape bool
	page      *page
	y         float64 // the upper edge of what comes next
	part      string
	fresh     bool // nothing stands on the page yet
}

func newFlow(s *Sheet, landscape bool) *flow {
	fl := &flow{sheet: s, landscape: landscape}
	fl.next()
	return fl
}

// next begins a page.
func (fl *flow) next() {
	fl.page = fl.sheet.newPage(fl.landscape)
	fl.page.part = fl.part
	fl.y = fl.page.area.Min.Y
	fl.fresh = true
}

// room makes sure that so much height is left, or begins a page.
func (fl *flow) room(height float64) {
	if fl.y+height > fl.page.area.Max.Y+1e-6 && !fl.fresh {
		fl.next()
	}
}

func (fl *flow) left() float64  { return fl.page.area.Min.X }
func (fl *flow) right() float64 { return fl.page.area.Max.X }
func (fl *flow) width() float64 { return fl.right() - fl.left() }

// used moves on.
func (fl *flow) used(height float64) {
	fl.y += height
	fl.fresh = false
}

func (fl *flow) gap(height float64) {
	if !fl.fresh {
		fl.y += height
	}
}

// heading sets a heading that keeps so much height of what follows with it.
func (fl *flow) heading(text string, keep float64) {
	fl.gap(2)
	lines := drawing.Wrap(text, headSize, drawing.Bold, fl.width(), 3)
	fl.room(float64(len(lines))*headSize*lead + 1.5 + keep)
	for _, line := range lines {
		fl.page.text(fl.left(), fl.y+headSize, headSize, drawing.Bold, line, fl.width())
		fl.used(headSize * lead)
	}
	fl.used(1)
}

// style is how a paragraph is set.
type style struct {
	size   float64
	face   drawing.Face
	colour color.NRGBA
	indent float64
	most   int // lines; 0: as many as there are
}

// para sets a paragraph; it may break over pages.
func (fl *flow) para(text string, st style) {
	if st.size == 0 {
		st.size = bodySize
	}
	if st.most == 0 {
		st.most = 400
	}
	for _, line := range drawing.Wrap(text, st.size, st.face, fl.width()-st.indent, st.most) {
		fl.room(st.size * lead)
		fl.page.write(drawing.Text{At: at(fl.left()+st.indent, fl.y+st.size), Text: drawing.Fit(line, st.size, st.face, fl.width()-st.indent), Size: st.size, Face: st.face, Colour: st.colour})
		fl.used(st.size * lead)
	}
	fl.used(st.size * 0.35)
}

func (fl *flow) note(text string) { fl.para(text, style{size: smallSize, colour: soft}) }

// caution sets a text in a frame with a sign; it stays together.
func (fl *flow) caution(text string) { fl.cautionIn(text, bodySize) }

func (fl *flow) cautionIn(text string, size float64) {
	sign := size * 2
	lines := drawing.Wrap(text, size, drawing.Bold, fl.width()-sign*1.16-7, 12)
	height := max(float64(len(lines))*size*lead+3, sign+3)
	fl.gap(1)
	fl.room(height + 2)
	fl.page.rectangle(box(fl.left(), fl.y, fl.right(), fl.y+height), 0.8, 0.4, ink, warning)
	fl.page.sign(fl.left()+2, fl.y+height/2+sign/2, sign)
	y := fl.y + (height-float64(len(lines))*size*lead)/2
	for _, line := range lines {
		fl.page.text(fl.left()+sign*1.16+5, y+size, size, drawing.Bold, line, fl.width()-sign*1.16-6)
		y += size * lead
	}
	fl.used(height + 2)
}

// blank sets rules to write on.
func (fl *flow) blank(count int) {
	for range count {
		fl.room(8)
		fl.page.line(fl.left(), fl.y+7.5, fl.right(), fl.y+7.5, 0.2, hair)
		fl.used(8)
	}
}
