package bench

import "fyne.io/fyne/v2"

// panelLayout arranges a panel: what is read at the top, the fields below it at
// a place that does not move from one reading to the next, and under them what
// is looked at less often.
type panelLayout struct{ panel *panel }

const (
	edge      = 12 // round everything
	between   = 8
	leastRows = 3 // of the list of readings
	mostRows  = 12
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
func scrolled(scroll fyne.CanvasObject, content fyne.CanvasObject, x, y, width, height float32) {
	inner := width - 2
	content.Resize(fyne.NewSize(inner, heightAt(content, inner)))
	scroll.Move(fyne.NewPos(x, y))
	scroll.Resize(fyne.NewSize(width, height))
}

func (l *panelLayout) column(size fyne.Size) {
	p := l.panel
	width := size.Width - 2*edge
	row := p.readings.rowHeight()
	least := func() float32 { // of everything below the board, with nothing opened
		oneLine := p.size.small * 1.28 * 2
		return heightAt(p.fields, width) + oneLine + heightAt(p.conditions.chips, width) + heightAt(p.presses, width) +
			heightAt(p.goals.object, width) + heightAt(p.proven, width) + 6*between
	}()
	free := size.Height - 2*edge - least
	rows := min(max(float32(int(free*0.24/row)), leastRows), mostRows)
	board := max(free-rows*row, 60)
	y := float32(edge)
	scrolled(p.scroll, p.upper, edge, y, width, board)
	y += board + between
	y = place(p.fields, edge, y, width, heightAt(p.fields, width))
	y = place(p.said, edge, y-between/2, width, heightAt(p.said, width))
	y = place(p.conditions.chips, edge, y, width, heightAt(p.conditions.chips, width))
	y = place(p.conditions.field, edge, y, width, heightAt(p.conditions.field, width))
	y = place(p.presses, edge, y, width, heightAt(p.presses, width))
	// From the foot upward, so that the list takes what is left.
	foot := size.Height - edge
	up := func(object fyne.CanvasObject) {
		height := heightAt(object, width)
		if object.Visible() {
			place(object, edge, foot-height, width, height)
			foot -= height + between
		}
	}
	up(p.proven)
	up(p.goals.object)
	if height := heightAt(p.strike.object, width); height > 0 {
		place(p.strike.object, edge, foot-height, width, height)
		foot -= height + between/2
	}
	place(p.readings, edge-4, y, width+8, max(foot-y, row))
	l.list(size)
}

// list puts the list of choices under the field that it belongs to; in the whole
// window above it, since there is no room below.
func (l *panelLayout) list(size fyne.Size) {
	p := l.panel
	var field fyne.CanvasObject = p.fields
	if p.conditions.field.Visible() {
		field = p.conditions.field
	}
	high := p.choices.MinSize().Height
	y := field.Position().Y + field.Size().Height + 2
	if p.size.alone {
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
		if height := heightAt(object, width); height > 0 {
			place(object, side, foot-height, width, height)
			foot -= height + space
		}
	}
	up(p.proven, between)
	up(p.strike.object, between)
	presses := heightAt(p.presses, width*0.55)
	place(p.presses, side, foot-presses, width*0.55, presses)
	goals := heightAt(p.goals.object, width*0.43)
	place(p.goals.object, side+width*0.57, foot-goals, width*0.43, goals)
	foot -= max(presses, goals) + between
	up(p.conditions.field, between)
	up(p.conditions.chips, between)
	said := max(heightAt(p.said, width), p.size.small*1.28)
	place(p.said, side, foot-said, width, said)
	foot -= said + between/2
	fields := heightAt(p.fields, width)
	place(p.fields, side, foot-fields, width, fields)
	foot -= fields + 2*between
	left := width * 0.6
	scrolled(p.scroll, p.upper, side, edge, left, foot-edge)
	scrolled(p.asideScroll, p.aside, side+left+side, edge, width-left-side, foot-edge)
	l.list(size)
}

// rowHeight is the height of one line of the list, with the toolkit's room
// between lines.
func (r *readings) rowHeight() float32 { return float32(int(r.panel.size.text*1.5)) + 4 }
