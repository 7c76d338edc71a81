package bench

import (
	"fyne.io/fyne/v2"

	"bellout/app/window/look"
)

// panelLayout arranges a panel: what is read at the top, the fields below it at
// a place that does not move from one reading to the next, and under them what
// is looked at less often.
type panelLayout struct{ panel *panel }

const (
	edge      = 12 // round everything
	between   = 8
	leastRows = 3 // of the list of readings
	mostRows  = 12
	barRoom   = 9 // at the right of what scrolls
)

// MinSize is what the narrowest column that works needs.
func (l *panelLayout) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(340, 420) }

func (l *panelLayout) Layout(_ []fyne.CanvasObject, size fyne.Size) {
	if size.Width <= 0 {
		return
	}
	if l.panel.size.alone {
		l.whole(size)
		return
	}
	l.column(size)
}

// place puts an object and returns where the next one begins.
func place(object fyne.CanvasObject, x, y, width, height float32) float32 {
	if object == nil || !object.Visible() {
		return y
	}
	object.Move(fyne.NewPos(x, y))
	object.Resize(fyne.NewSize(width, height))
	return y + height + between
}

// scrolled sizes a scroll and what is in it: wrapped text must have its width
// before the scroll asks how high it is.
func scrolled(scroll, content fyne.CanvasObject, x, y, width, height float32) {
	look.HeightAt(content, width)
	scroll.Move(fyne.NewPos(x, y))
	scroll.Resize(fyne.NewSize(width, height))
}

func (l *panelLayout) column(size fyne.Size) {
	p := l.panel
	width := size.Width - 2*edge
	row := p.readings.rowHeight()
	high := func(object fyne.CanvasObject) float32 {
		object.Show()
		return look.HeightAt(object, width) + between
	}
	// What stands under the board with nothing opened. Where the window is low or
	// the type large, what is looked at least often gives way to the board: its
	// keys go on working.
	oneLine := p.size.small*1.28*2 + between
	oneChip := p.size.text*1.3 + 9 + between
	spare := size.Height - 2*edge - l.board() - look.HeightAt(p.fields, width) - between - oneLine - oneChip
	goals, presses, proven := high(p.goals.object), high(p.presses), high(p.proven)
	spare -= goals + presses + proven
	p.keyLine.Hide()
	if spare < leastRows*row {
		p.goals.object.Hide()
		p.keyLine.Set(p.bench.keyWords(false, true), look.Now().Soft)
		spare += goals - high(p.keyLine)
	}
	if spare < leastRows*row {
		p.presses.Hide()
		spare += presses + look.HeightAt(p.keyLine, width)
		p.keyLine.Set(p.bench.keyWords(false, false), look.Now().Soft)
		spare -= look.HeightAt(p.keyLine, width)
	}
	rows := min(max(float32(int(spare/row)), leastRows), mostRows)
	if spare < leastRows*row {
		rows = 1
	}
	board := max(l.board()+spare-rows*row, 80)
	tight := board < l.board()
	// What is opened, or grew, takes from the list first; then from the board.
	below := float32(0)
	for _, object := range []fyne.CanvasObject{p.fields, p.said, p.conditions.chips, p.conditions.field, p.presses, p.keyLine, p.strike.object, p.goals.object, p.proven} {
		if height := look.HeightAt(object, width); height > 0 {
			below += height + between
		}
	}
	board = max(min(board, size.Height-2*edge-below-row), 40)
	if seen := fyne.NewSize(width-barRoom, board); tight != p.tight || seen != p.boardSize {
		p.tight, p.boardSize = tight, seen
		p.fillBoard(p.bench.touch())
	}
	y := float32(edge)
	scrolled(p.scroll, p.scroll.Content, edge, y, width, board)
	y += board + between/2
	y = place(p.fields, edge, y, width, look.HeightAt(p.fields, width)) - between/2
	y = place(p.said, edge, y, width, look.HeightAt(p.said, width))
	y = place(p.conditions.chips, edge, y, width, look.HeightAt(p.conditions.chips, width))
	y = place(p.conditions.field, edge, y, width, look.HeightAt(p.conditions.field, width))
	y = place(p.presses, edge, y, width, look.HeightAt(p.presses, width))
	y = place(p.keyLine, edge, y, width, look.HeightAt(p.keyLine, width))
	// From the foot upward, so that the list takes what is left.
	foot := size.Height - edge
	up := func(object fyne.CanvasObject) {
		if height := look.HeightAt(object, width); height > 0 {
			place(object, edge, foot-height, width, height)
			foot -= height + between
		}
	}
	up(p.proven)
	up(p.goals.object)
	up(p.strike.object)
	place(p.readings, edge-4, y, width+8, max(foot-y, row))
	l.list(size)
}

// board is how high the board has to be to hold an answer, two steps, a caution,
// both tips and what a good machine shows. It does not look at what is on it, so
// that the fields stay where they are from one reading to the next.
func (l *panelLayout) board() float32 {
	s := l.panel.size
	answer := s.word*1.3 + s.small*1.28*2 + s.text*0.8
	tips := 2 * (s.ref*1.28 + s.small*1.28 + 6)
	good := s.small*1.28 + s.word*1.3 + s.text*1.28
	return answer + s.head*1.4 + 2*s.text*1.45 + s.small*2.7 + tips + good + 4*s.text*0.5
}

// list puts the list of choices under the field that it belongs to, or above it
// where there is no room below.
func (l *panelLayout) list(size fyne.Size) {
	p := l.panel
	var field fyne.CanvasObject = p.fields
	if p.conditions.field.Visible() {
		field = p.conditions.field
	}
	high := p.choices.MinSize().Height
	y := field.Position().Y + field.Size().Height + 2
	if p.size.alone || y+high > size.Height {
		y = max(field.Position().Y-high-2, edge)
	}
	p.choices.Move(fyne.NewPos(field.Position().X, y))
	p.choices.Resize(fyne.NewSize(field.Size().Width, high))
}

// whole fills the window: the touch at the left, what it means at the right, the
// fields over the full width at the foot.
func (l *panelLayout) whole(size fyne.Size) {
	p := l.panel
	const side = 24
	width := size.Width - 2*side
	foot := size.Height - edge
	up := func(object fyne.CanvasObject, space float32) {
		if height := look.HeightAt(object, width); height > 0 {
			place(object, side, foot-height, width, height)
			foot -= height + space
		}
	}
	up(p.proven, between)
	up(p.strike.object, between)
	p.keyLine.Set(p.bench.keyWords(true, false), look.Now().Soft)
	up(p.keyLine, between)
	up(p.conditions.field, between)
	up(p.conditions.chips, between)
	said := max(look.HeightAt(p.said, width), p.size.small*1.28)
	place(p.said, side, foot-said, width, said)
	foot -= said + between/2
	fields := look.HeightAt(p.fields, width)
	place(p.fields, side, foot-fields, width, fields)
	foot -= fields + 2*between
	left := width * 0.6
	if seen := fyne.NewSize(left-barRoom, foot-edge); seen != p.boardSize {
		p.boardSize = seen
		p.fillBoard(p.bench.touch())
	}
	scrolled(p.scroll, p.scroll.Content, side, edge, left, foot-edge)
	scrolled(p.asideScroll, p.asideScroll.Content, side+left+side, edge, width-left-side, foot-edge)
	l.list(size)
}

// rowHeight is the height of one line of the list, with the toolkit's room
// between lines.
func (r *readings) rowHeight() float32 { return float32(int(r.panel.size.text*1.5)) + 4 }
