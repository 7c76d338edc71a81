// Package sheets is the place for what outlives the repair: every sheet with its
// preview, written to a file or printed; states before and after, held against
// each other; and the work of another laptop, brought in.
package sheets

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"

	"bellout/app/session"
	"bellout/app/sheets/book"
	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/app/window/room"
)

// The entries of the list that are no sheets.
const (
	states  = "states"
	joining = "joining"
)

// Memory keys.
const (
	shownMemory = "Sheets.shown"
	paperMemory = "Sheets.paper"
	pathMemory  = "Sheets.path"
)

// Place is the sheets.
type Place struct {
	room    *room.Room
	object  *fyne.Container
	list    *list
	right   *fyne.Container
	sheet   *fyne.Container // a preview with what stands above and below; nil before the first one
	preview *preview
	writing *writing
	before  *before
	join    *join
	shown   string // of entries
	paper   book.Paper
	visible bool
	making  *session.Task // the sheet that is being made
	made    made
	stale   bool // the machine changed since
}

// New returns the place.
func New(r *room.Room) *Place {
	p := &Place{room: r, right: container.NewStack(), shown: "doorcard", paper: book.A4, stale: true}
	if name, ok := r.Memory[shownMemory].(string); ok {
		p.shown = name
	}
	if paper, ok := r.Memory[paperMemory].(book.Paper); ok {
		p.paper = paper
	}
	p.list = newList(p)
	p.preview = newPreview(p)
	p.writing = newWriting(p)
	p.before = newBefore(p)
	p.join = newJoin(p)
	edge := canvas.NewRectangle(look.Now().Line)
	edge.SetMinSize(fyne.NewSize(1, 1))
	left := container.NewBorder(nil, nil, nil, edge, p.list.object)
	p.object = container.NewBorder(nil, nil, left, nil, p.right)
	p.addActions()
	r.Listen(func(what session.Changed) {
		if what.Has(session.File) {
			p.before.forget()
			p.join.forget()
		}
		if what.Has(session.Map | session.Readings | session.File) {
			p.stale = true
			if p.visible {
				p.refresh()
			}
		}
		if what.Has(session.Selected) {
			p.list.fill()
		}
		if what.Has(session.Proposal) {
			p.before.sayQueue()
		}
	})
	p.put(p.shown)
	return p
}

const group = "Sheets"

func (p *Place) addActions() {
	here := func() bool { return p.visible && p.room.Session.View().Path != "" }
	drawn := func() bool { return here() && p.made.pages != nil }
	to := func(name string, then func()) func() {
		return func() {
			p.room.Show(room.Sheets)
			p.choose(name)
			then()
		}
	}
	open := func() bool { return p.room.Session.View().Path != "" }
	for _, action := range []keys.Action{
		{Name: "Write the sheet, or the book, to a file", Group: group, Key: keys.Ctrl(fyne.KeyE), Do: p.writing.key, Able: drawn},
		{Name: "Print the sheet", Group: group, Key: keys.Ctrl(fyne.KeyP), Do: p.writing.print, Able: drawn},
		{Name: "A4 or Letter", Group: group, Key: keys.CtrlShift(fyne.KeyP), Do: p.turnPaper, Able: here},
		{Name: "Sheet for replacing the device that is looked at", Group: group, Key: keys.CtrlShift(fyne.KeyR), Do: p.replace, Able: func() bool { return p.device() != "" }},
		{Name: "Name the present state", Group: group, Key: keys.CtrlShift(fyne.KeyN), Do: to(states, func() { p.before.focusName() }), Able: open},
		{Name: "Compare two states", Group: group, Key: keys.CtrlShift(fyne.KeyB), Do: to(states, func() { p.before.focusFrom() }), Able: open},
		{Name: "Show the comparison on the chart", Group: group, Key: keys.CtrlShift(fyne.KeyK), Do: p.before.showOnChart, Able: p.before.compared},
		{Name: "Give the bench what is to be measured", Group: group, Key: keys.CtrlShift(fyne.KeyQ), Do: p.queue, Able: func() bool { return p.replaces() || p.before.hasChecks() }},
		{Name: "Bring in the work of another copy", Group: group, Key: keys.CtrlShift(fyne.KeyO), Do: to(joining, func() { p.join.focusPath() }), Able: open},
		{Name: "Conflict: take mine", Group: group, Key: keys.CtrlShift(fyne.KeyM), Do: func() { p.join.take("mine") }, Able: p.join.deciding},
		{Name: "Conflict: take theirs", Group: group, Key: keys.CtrlShift(fyne.KeyY), Do: func() { p.join.take("theirs") }, Able: p.join.deciding},
		{Name: "Conflict: keep both, where both can be", Group: group, Key: keys.CtrlShift(fyne.KeyE), Do: func() { p.join.take("both") }, Able: p.join.deciding},
		{Name: "Next conflict", Group: group, Key: keys.CtrlShift(fyne.KeyDown), Do: func() { p.join.step(1) }, Able: p.join.deciding},
		{Name: "Conflict before", Group: group, Key: keys.CtrlShift(fyne.KeyUp), Do: func() { p.join.step(-1) }, Able: p.join.deciding},
		{Name: "Merge, all being decided", Group: group, Key: keys.CtrlShift(fyne.KeyJ), Do: p.join.merge, Able: p.join.ready},
	} {
		p.room.Keys.Add(action)
	}
}

// Name is the place's name.
func (p *Place) Name() string { return room.Sheets }

// Object is what it shows.
func (p *Place) Object() fyne.CanvasObject {
	p.visible = true
	p.refresh()
	return p.object
}

// Sleep says that it is not seen any more: no sheet is made for nobody.
func (p *Place) Sleep() { p.visible = false }

// Focus puts the keyboard on the list: arrows go through the sheets, page keys
// through the pages.
func (p *Place) Focus() { p.focusOn(p.list) }

func (p *Place) focusOn(what fyne.Focusable) {
	if canvas := p.room.Canvas(); canvas != nil {
		canvas.Focus(what)
	}
}

// choose goes to an entry of the list.
func (p *Place) choose(name string) {
	if name == p.shown {
		return
	}
	p.stale = true
	p.put(name)
	p.refresh()
}

// put lays the right side out for an entry.
func (p *Place) put(name string) {
	p.shown = name
	p.room.Memory[shownMemory] = name
	p.right.RemoveAll()
	switch name {
	case states:
		p.right.Add(p.before.object)
	case joining:
		p.right.Add(p.join.object)
	default:
		p.sheet = container.New(look.Above{}, p.writing.object, p.preview, p.preview.foot)
		p.right.Add(p.sheet)
	}
	p.right.Refresh()
	p.list.fill()
}

// refresh makes what is shown anew, where the machine is another one since.
func (p *Place) refresh() {
	if !p.stale {
		return
	}
	switch p.shown {
	case states:
		p.stale = false
		p.before.refresh()
	case joining:
		p.stale = false
	default:
		p.make()
	}
}

func (p *Place) turnPaper() {
	if p.paper = book.A4; p.room.Memory[paperMemory] != book.Letter {
		p.paper = book.Letter
	}
	p.room.Memory[paperMemory] = p.paper
	p.stale = true
	p.writing.fill()
	p.refresh()
}

// device is the device that is looked at; empty if none is.
func (p *Place) device() string {
	if s := p.room.Session.Selection(); s.Kind == session.Device {
		return s.Name
	}
	return ""
}

func (p *Place) replace() {
	device := p.device()
	p.room.Show(room.Sheets)
	p.choose(replacing + device)
}

// replaces says whether the sheet of a device that comes out is shown.
func (p *Place) replaces() bool {
	return p.visible && p.made.replacement != nil && p.made.name == p.shown
}

// queue gives the bench the measurements of the replacement that is shown; else
// what must be verified again.
func (p *Place) queue() {
	if !p.replaces() {
		p.before.queue()
		return
	}
	r := p.made.replacement
	list := r.Proposals()
	if len(list) == 0 {
		p.room.Session.Say("Nothing of this replacement is measured at the bench; the sheet says what to do.")
		return
	}
	p.room.Session.Queue("replacing "+r.Device, list)
	p.room.Session.Say(fmt.Sprintf("%d probes of replacing %s wait at the bench: it proposes them in the order of the sheet, each with its caution.", len(list), r.Device))
}

func heading(text string) fyne.CanvasObject {
	return look.Line(text, look.Now().Ink, theme.SizeNameHeadingText, fyne.TextStyle{Bold: true})
}

func padded(object fyne.CanvasObject) fyne.CanvasObject {
	return container.New(layout.NewCustomPaddedLayout(12, 10, 14, 14), object)
}
