// Package parts is the place where the map is edited: a line that adds a device
// or a wire, and every table of the machine, sorted, filtered, edited in several
// rows at once, and pasted into.
package parts

import (
	"context"
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"

	"bellout/app/listing"
	"bellout/app/session"
	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/app/window/room"
	"bellout/model"
)

// tabs are the tables, in the order in which they are shown.
var tabs = []struct {
	table model.Table
	name  string
}{
	{model.TableDevice, "Devices"}, {model.TableTerminal, "Terminals"}, {model.TableLink, "Links"}, {model.TableWire, "Wires"},
	{model.TableBond, "Bonds"}, {model.TableReading, "Readings"}, {model.TableSymptom, "Symptoms"}, {model.TableHistory, "History"}, {model.TableSetting, "Settings"},
}

// Memory keys.
const (
	tabMemory  = "Parts.tab"
	lineMemory = "Parts.line"
)

// Place is the parts.
type Place struct {
	room    *room.Room
	object  *fyne.Container
	adding  *adding
	presses []*look.Press
	filter  *keys.Entry
	count   *canvas.Text
	middle  *fyne.Container // the table, or what was pasted
	table   *table
	strip   *strip
	tab     int
	listing *listing.Listing
	places  []int // rows of listing that are shown, in order
	order   listing.Order
	shown   bool
	late    bool // something changed since the table was filled
	// toReveal is the ID of a row that is to be marked as soon as it is listed.
	toReveal string
}

// New returns the place.
func New(r *room.Room) *Place {
	p := &Place{room: r, middle: container.NewStack(), count: look.Caption("")}
	if tab, ok := r.Memory[tabMemory].(int); ok {
		p.tab = tab
	}
	p.adding = newAdding(p)
	p.table = newTable(p)
	p.strip = newStrip(p)
	p.filter = keys.NewEntry(r.Keys)
	p.filter.Passing = true
	p.filter.SetPlaceHolder("words, or column=word, as in zone=bridge")
	p.filter.OnChanged = func(text string) {
		p.order.Filter = text
		p.arrange()
	}
	p.filter.OnSubmitted = func(string) { p.table.focus() }
	choose := container.New(&look.Flow{Gap: 4})
	for at, tab := range tabs {
		press := look.NewPress(tab.name, "", func() { p.show(at) })
		p.presses = append(p.presses, press)
		choose.Add(press)
	}
	filterRow := container.NewBorder(nil, nil, container.NewHBox(container.NewCenter(look.Caption("Filter")), container.NewCenter(look.KeyCap("Ctrl I"))), container.NewCenter(p.count), p.filter)
	head := container.New(&look.Rows{Gap: 8}, p.adding.object, choose, filterRow)
	p.object = container.New(look.Above{}, container.New(layout.NewCustomPaddedLayout(12, 6, 14, 14), head), container.New(layout.NewCustomPaddedLayout(0, 0, 14, 6), p.middle), p.strip.object)
	p.addActions()
	r.Listen(func(what session.Changed) {
		if what.Has(session.Map | session.Readings | session.File) {
			if what.Has(session.File) && p.filter.Text != "" { // what was looked for was in another file
				p.filter.SetText("")
			}
			p.late = true
			if p.shown {
				p.refill()
			}
			p.adding.follow()
		}
	})
	p.show(p.tab)
	return p
}

const group = "Parts"

func (p *Place) addActions() {
	here := func() bool { return p.shown }
	for _, action := range []keys.Action{
		{Name: "Add a device or a wire", Group: group, Key: keys.CtrlShift(fyne.KeyA), Do: p.goAdd},
		{Name: "Filter the table", Group: group, Key: keys.Ctrl(fyne.KeyI), Do: func() { p.focusOn(p.filter) }, Able: here},
		{Name: "Next table", Group: group, Key: keys.Ctrl(fyne.KeyPageDown), Do: func() { p.show((p.tab + 1) % len(tabs)); p.table.focus() }, Able: here},
		{Name: "Table before", Group: group, Key: keys.Ctrl(fyne.KeyPageUp), Do: func() { p.show((p.tab + len(tabs) - 1) % len(tabs)); p.table.focus() }, Able: here},
		{Name: "Paste rows, in the table", Group: group, Key: keys.CtrlShift(fyne.KeyV), Do: p.paste, Able: here},
		{Name: "Look at the row on the chart", Group: group, Key: keys.CtrlShift(fyne.KeyG), Do: p.lookAt, Able: func() bool { return p.shown && p.table.at() != nil }},
	} {
		p.room.Keys.Add(action)
	}
}

// Name is the place's name.
func (p *Place) Name() string { return room.Parts }

// Object is what it shows; it is seen from now on, until Sleep.
func (p *Place) Object() fyne.CanvasObject {
	p.shown = true
	if p.late {
		p.refill()
	}
	return p.object
}

// Sleep says that it is not seen any more: nothing is listed for nobody.
func (p *Place) Sleep() { p.shown = false }

// Focus puts the keyboard into the line that adds, with what was begun there.
func (p *Place) Focus() {
	if line, ok := p.room.Memory[lineMemory].(string); ok && line != "" {
		delete(p.room.Memory, lineMemory)
		p.adding.begin(line)
	}
	p.focusOn(p.adding.field)
}

func (p *Place) goAdd() {
	p.room.Show(room.Parts)
	p.Focus()
}

func (p *Place) focusOn(what fyne.Focusable) {
	if canvas := p.room.Canvas(); canvas != nil {
		canvas.Focus(what)
	}
}

// show goes to a table.
func (p *Place) show(tab int) {
	if tab != p.tab {
		p.order = listing.Order{Filter: p.filter.Text}
	}
	p.tab = tab
	p.room.Memory[tabMemory] = tab
	for at, press := range p.presses {
		press.Chosen = at == tab
		press.Refresh()
	}
	p.table.unmark()
	p.refill()
}

// refill lists the table anew, beside everything else where the machine is large.
func (p *Place) refill() {
	p.late = false
	name := tabs[p.tab].table
	if machine := p.room.Session.Machine(); len(machine.Terminals)+len(machine.Readings) <= atOnce {
		p.listing = listing.Of(machine, name)
		p.arrange()
		return
	}
	session.Ask(p.room.Session, "parts", func(_ context.Context, view session.View) *listing.Listing {
		return listing.Of(view.Machine, name)
	}, func(l *listing.Listing) {
		p.listing = l
		p.arrange()
	})
}

// arrange sorts and filters.
func (p *Place) arrange() {
	l, order := p.listing, p.order
	if l == nil {
		return
	}
	show := func(places []int) {
		p.places = places
		p.count.Text = fmt.Sprintf("%d of %d rows", len(places), l.Len())
		p.count.Refresh()
		p.table.fill()
		p.strip.fill()
		p.revealed()
		if len(p.middle.Objects) == 0 {
			p.middle.Objects = []fyne.CanvasObject{p.table.object}
			p.middle.Refresh()
		}
	}
	if l.Len() <= atOnce {
		show(l.Arrange(order))
		return
	}
	session.Ask(p.room.Session, "parts order", func(context.Context, session.View) []int { return l.Arrange(order) }, show)
}

// atOnce is how many rows are sorted before the next key is read; more are
// sorted beside everything else, and the table follows.
const atOnce = 5000

// reveal marks a row as soon as the table shows it: that of its own kind.
func (p *Place) reveal(row model.Row) {
	for at, tab := range tabs {
		if tab.table == row.Table() {
			p.toReveal = row.ID()
			p.filter.SetText("")
			p.show(at)
		}
	}
}

// revealed marks the row that is to be, if it is there now.
func (p *Place) revealed() {
	for at, place := range p.places {
		if p.toReveal != "" && p.listing.Row(place).ID() == p.toReveal {
			p.toReveal = ""
			p.table.goTo(at, false)
			return
		}
	}
}

// lookAt selects the row's thing and shows the chart.
func (p *Place) lookAt() {
	selection := session.Selection{}
	switch row := p.table.at().(type) {
	case model.Device:
		selection = session.Selection{Kind: session.Device, Name: row.Ref}
	case model.Terminal:
		selection = session.Selection{Kind: session.Terminal, Name: row.Ref().String()}
	case model.Wire:
		selection = session.Selection{Kind: session.Wire, Name: row.Name}
	case model.Link:
		selection = session.Selection{Kind: session.Device, Name: row.Device}
	case model.Reading:
		selection = session.Selection{Kind: session.Terminal, Name: row.Red.String()}
	case model.Bond:
		selection = session.Selection{Kind: session.Terminal, Name: row.From.String()}
	default:
		return
	}
	p.room.Session.Select(selection)
	p.room.Show(room.Chart)
}

// caption is a small heading over a field.
func caption(text string) *canvas.Text {
	return look.Line(text, look.Now().Soft, theme.SizeNameCaptionText, fyne.TextStyle{Bold: true})
}
