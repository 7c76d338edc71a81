// Package inspect is the column at the right of a place that says everything
// about the one thing that is looked at: a device with all its upstream paths, a
// wire, a terminal, a finding.
package inspect

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"

	"bellout/app/session"
	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/app/window/room"
)

// Inspector shows what is selected on the desk.
type Inspector struct {
	room   *room.Room
	object *fyne.Container
	scroll *container.Scroll
	rows   *fyne.Container
	shown  session.Selection
	fields []*keys.Entry     // that a person types into
	of     session.Selection // what they are of
	// upstream is the answer for the device that is shown; its Device is empty
	// while it is being worked out.
	upstream session.Upstream
}

// width is the least that the column takes.
const width = 340

// New returns an inspector. It takes the keys of what it offers.
func New(r *room.Room) *Inspector {
	i := &Inspector{room: r, rows: container.New(&look.Rows{Gap: 5})}
	i.scroll = container.NewVScroll(look.Inset(12, i.rows))
	i.scroll.SetMinSize(fyne.NewSize(width, 0))
	edge := canvas.NewRectangle(look.Now().Line)
	edge.SetMinSize(fyne.NewSize(1, 1))
	i.object = container.NewBorder(nil, nil, edge, nil, i.scroll)
	i.addActions()
	r.Listen(func(what session.Changed) {
		if what.Has(session.Selected | session.Map | session.Readings | session.Findings | session.File) {
			i.follow(what)
		}
	})
	i.follow(session.Everything)
	return i
}

// Object is the column.
func (i *Inspector) Object() fyne.CanvasObject { return i.object }

// Wanted is true where there is something to say.
func (i *Inspector) Wanted() bool { return i.room.Session.Selection().Kind != session.Nothing }

// follow shows what is selected now. What is worked out beside is asked for
// again only when the thing, or what is known of it, is another one.
func (i *Inspector) follow(what session.Changed) {
	selection := i.room.Session.Selection()
	other := selection != i.shown
	if !other && !what.Has(session.Map|session.Readings|session.Findings|session.File) {
		return // only the highlight changed, which this column set itself
	}
	i.shown = selection
	if selection.Kind == session.Device {
		if other {
			i.upstream = session.Upstream{}
		}
		i.askUpstream(selection.Name)
	}
	i.show()
	if other {
		i.scroll.ScrollToTop()
	}
}

// show fills the column.
func (i *Inspector) show() {
	gone := i.fields
	i.rows.Objects, i.fields = nil, nil // laid out once, at the end
	switch i.shown.Kind {
	case session.Device:
		i.showDevice(i.shown.Name)
	case session.Wire:
		i.showWire(i.shown.Name)
	case session.Terminal:
		i.showTerminal(i.shown.Name)
	case session.Net:
		i.showNet(i.shown.Name)
	case session.Finding:
		i.showFinding(i.shown.Finding)
	case session.Reading:
		i.showReading(i.shown.Name)
	}
	i.handOver(gone)
	i.rows.Refresh()
}

// field is a line that a person types into.
func (i *Inspector) field() *keys.Entry {
	field := keys.NewEntry(i.room.Keys)
	i.fields = append(i.fields, field)
	return field
}

// handOver keeps what is half typed where the same thing is shown anew, as after a
// reading; of another thing it says that it is not written.
func (i *Inspector) handOver(gone []*keys.Entry) {
	come := i.fields
	if i.of != i.shown {
		come = nil
	}
	of := i.of
	i.of = i.shown
	if lost := keys.HandOver(gone, come); len(lost) > 0 {
		i.room.Session.Say(fmt.Sprintf("Not written for %s: %s.", of.Name, strings.Join(lost, ", ")))
	}
}

func (i *Inspector) add(objects ...fyne.CanvasObject) {
	i.rows.Objects = append(i.rows.Objects, objects...)
}

// title heads the column.
func (i *Inspector) title(text, under string) {
	t := look.Now()
	i.add(look.NewParagraph(text, t.Size(theme.SizeNameSubHeadingText), t.Ink, fyne.TextStyle{Bold: true}))
	if under != "" {
		i.add(look.SoftProse(under))
	}
}

// heading begins a part of the column.
func (i *Inspector) heading(text string) {
	i.add(look.Gap(8), look.Line(text, look.Now().Accent, theme.SizeNameText, fyne.TextStyle{Bold: true}))
}

// say adds text that wraps.
func (i *Inspector) say(text string) { i.add(look.Prose(text)) }

// signed adds text behind a sign.
func (i *Inspector) signed(sign look.Sign, text string, bold bool) {
	t := look.Now()
	words := look.NewParagraph(text, t.Size(theme.SizeNameText), t.Ink, fyne.TextStyle{Bold: bold})
	i.add(container.New(&look.Leading{Gap: 8, Down: 1}, sign.Image(t.Size(theme.SizeNameText)*1.2), words))
}

// link adds a row that leads to another thing.
func (i *Inspector) link(text string, to session.Selection) {
	press := look.NewPress(text, "", func() { i.room.Session.Select(to) })
	press.Cut = true
	i.add(press)
}
