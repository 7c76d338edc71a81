// Package findings is the place where a person works through what is wrong: the
// devices that failed, every finding with how sure it is, and how much of the
// map is proven.
package findings

import (
	"fmt"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"

	"bellout/app/session"
	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/app/window/room"
	"bellout/faults"
	"bellout/faults/judge"
	"bellout/model"
)

// Place is the list of findings.
type Place struct {
	room    *room.Room
	object  *fyne.Container
	summary *fyne.Container
	rows    *fyne.Container
	scroll  *container.Scroll
	items   []item
	asleep  bool // it is not seen
	late    bool // and something changed since it was filled
	made    map[row]*card
	before  map[row]*card // those of the list before, while it is filled
}

// row is what a row of the list says; a card that says the same serves again.
type row struct {
	selection          session.Selection
	sign               look.Sign
	title, sure, words string
}

// item is a row of the list: a failed device, or a finding.
type item struct {
	selection session.Selection
	key       string // by which it is remembered as set aside
	card      *card
}

// New returns the place.
func New(r *room.Room) *Place {
	p := &Place{room: r, summary: container.New(&look.Rows{Gap: 6})}
	p.rows = container.New(&following{Rows: look.Rows{Gap: 5}, place: p})
	p.scroll = container.NewVScroll(container.New(layout.NewCustomPaddedLayout(4, 12, 14, 14), p.rows))
	p.object = container.New(look.Above{}, container.New(layout.NewCustomPaddedLayout(10, 4, 14, 14), p.summary), p.scroll)
	r.Keys.Add(keys.Action{Name: "Next finding", Group: room.Findings, Key: keys.Ctrl(fyne.KeyDown), Do: func() { p.step(1) }})
	r.Keys.Add(keys.Action{Name: "Finding before", Group: room.Findings, Key: keys.Ctrl(fyne.KeyUp), Do: func() { p.step(-1) }})
	r.Keys.Add(keys.Action{Name: "Next failed device", Group: room.Findings, Key: keys.CtrlShift(fyne.KeyI), Do: p.stepFailed, Able: p.hasFailed})
	r.Keys.Add(keys.Action{Name: "Set the finding aside, or take it up again", Group: room.Findings, Key: keys.CtrlShift(fyne.KeyD), Do: p.turnAside, Able: func() bool { return p.chosen() >= 0 }})
	r.Keys.Add(keys.Action{Name: "Show what is looked at on the chart", Group: room.Findings, Key: keys.CtrlShift(fyne.KeyC), Do: func() { r.Show(room.Chart) }, Able: func() bool { return r.Session.Selection().Kind != session.Nothing }})
	r.Listen(func(what session.Changed) {
		switch {
		case what.Has(session.Findings | session.Map | session.Readings | session.File):
			p.late = true
			if !p.asleep {
				p.wake()
			}
		case what.Has(session.Selected) && !p.late:
			p.mark()
			p.revealChosen()
		}
	})
	p.asleep, p.late = true, true
	return p
}

// Name is the place's name.
func (p *Place) Name() string { return room.Findings }

// Object is what it shows; it is seen from now on, until Sleep.
func (p *Place) Object() fyne.CanvasObject {
	p.asleep = false
	p.wake()
	return p.object
}

// Sleep says that it is not seen any more: it lists nothing anew until somebody
// asks for it, so that no reading waits for a list that nobody reads.
func (p *Place) Sleep() { p.asleep = true }

// wake fills the list, if anything changed since it was filled.
func (p *Place) wake() {
	if p.late {
		p.fill()
	}
}

// Focus looks at the first finding where nothing is looked at yet. The keyboard
// stays with the bench: Ctrl and the arrows go through the list.
func (p *Place) Focus() {
	p.wake()
	if p.chosen() < 0 {
		p.step(1)
	}
	p.revealChosen()
}

// most is how many findings are listed; whoever has more mends these first.
const most = 200

func (p *Place) fill() {
	view := p.room.Session.View()
	p.late = false
	before := p.made
	p.made = make(map[row]*card, len(before))
	p.summarise(view)
	p.rows.Objects = nil // laid out once, at the end
	p.items = nil
	p.before = before
	p.listFailed(view.Machine)
	p.listUnexplained(view)
	p.list(view.Report.Findings)
	if len(p.items) == 0 {
		p.put(look.Prose("Nothing is found wrong, with the map and the readings as they are. That is not proof: it says nothing about wires that no reading proves, and never that a circuit is safe."))
	}
	p.before = nil
	p.mark()
	p.rows.Refresh()
}

func (p *Place) put(object fyne.CanvasObject) { p.rows.Objects = append(p.rows.Objects, object) }

// listFailed puts the failed devices first: they are why somebody is here.
func (p *Place) listFailed(machine *model.Machine) {
	first := true
	var failed []model.Device
	for _, device := range machine.Devices {
		if device.Health == model.HealthFailed {
			failed = append(failed, device)
		}
	}
	slices.SortFunc(failed, func(a, b model.Device) int { return model.Compare(a.Ref, b.Ref) })
	for _, device := range failed {
		if first {
			p.head("Failed devices")
			first = false
		}
		words := "Open: its feed and return paths, what it shares with the other failed parts, and the probe that would settle it."
		if !device.FailedAt.IsZero() {
			words = "Failed " + device.FailedAt.Format("2 January 2006") + ". " + words
		}
		p.add(session.Selection{Kind: session.Device, Name: device.Ref}, "", look.SignFailed, session.Naming(machine, device.Ref), "", words)
	}
}

// listUnexplained lists the readings that contradict the map and that no finding
// covers, with what to do about them.
func (p *Place) listUnexplained(view session.View) {
	if len(view.Report.Unexplained) > 0 {
		p.head("Contradict the map, and no single fault explains them")
	}
	for _, left := range view.Report.Unexplained {
		words := left.Words
		for _, number := range left.Readings {
			reading, there := view.Machine.Reading(number)
			if !there {
				continue
			}
			p.add(session.Selection{Kind: session.Reading, Name: fmt.Sprint(number)}, "", look.SignContradicts,
				fmt.Sprintf("Reading %d: %s to %s shows %s", number, reading.Red, reading.Black, judge.ValueText(reading)), "", words)
			words = fmt.Sprintf("As with reading %d.", left.Readings[0])
		}
	}
}

var severities = []struct {
	severity faults.Severity
	heading  string
	sign     look.Sign
}{
	{faults.Fault, "Faults", look.SignFault},
	{faults.Warning, "Warnings", look.SignWarning},
	{faults.Note, "Notes", look.SignNote},
}

func (p *Place) list(findings []faults.Finding) {
	for _, group := range severities {
		first := true
		for at, finding := range findings {
			if finding.Severity != group.severity || len(p.items) >= most {
				continue
			}
			if first {
				p.head(group.heading)
				first = false
			}
			p.add(session.Selection{Kind: session.Finding, Finding: at}, session.FindingKey(finding), group.sign, finding.Headline, model.PercentText(finding.Confidence), finding.Message)
		}
	}
	if len(findings) > most {
		p.put(look.Prose(fmt.Sprintf("%d findings in all; these come first.", len(findings))))
	}
}

func (p *Place) head(text string) {
	p.put(look.Gap(6))
	p.put(look.NewParagraph(text, look.Now().Size(theme.SizeNameText), look.Now().Soft, fyne.TextStyle{Bold: true}))
}

func (p *Place) add(selection session.Selection, key string, sign look.Sign, title, sure, words string) {
	says := row{selection, sign, title, sure, words}
	c := p.before[says]
	if c == nil {
		c = newCard(sign, title, sure, words, func() { p.room.Session.Select(selection) })
	}
	p.made[says] = c
	if aside := p.room.Session.IsAside(key); aside != c.aside {
		c.aside = aside
		c.Refresh()
	}
	p.items = append(p.items, item{selection, key, c})
	p.put(c)
}

// summarise says how much is proven, and what is not.
func (p *Place) summarise(view session.View) {
	proven := view.Report.Proven
	p.summary.RemoveAll()
	t := look.Now()
	p.summary.Add(look.NewParagraph("Findings", t.Size(theme.SizeNameHeadingText), t.Ink, fyne.TextStyle{Bold: true}))
	p.summary.Add(container.New(&look.Halves{Gap: 12},
		newGauge("wires proven", proven.Wires, proven.OfWires),
		newGauge("pairs of nets proven apart", proven.Separations, proven.OfSeparations),
	))
	p.summary.Refresh()
}

// chosen is the place in the list of what is looked at; -1 if it is not there.
func (p *Place) chosen() int {
	p.wake()
	selection := p.room.Session.Selection()
	for at, item := range p.items {
		if item.selection == selection {
			return at
		}
	}
	return -1
}

// mark shows which row is looked at.
func (p *Place) mark() {
	chosen := p.chosen()
	for at, item := range p.items {
		item.card.choose(at == chosen)
	}
}

// step goes through the findings in the order of the list, past the failed
// devices before them, and round at its ends. By 1 it comes from anything else to
// the first of them, by -1 to the last.
func (p *Place) step(by int) {
	p.walk(by, func(i item) bool { return i.selection.Kind != session.Device })
}

// stepFailed goes through the failed devices in the same way.
func (p *Place) stepFailed() {
	p.walk(1, func(i item) bool { return i.selection.Kind == session.Device })
}

func (p *Place) hasFailed() bool {
	p.wake()
	return len(p.items) > 0 && p.items[0].selection.Kind == session.Device
}

// walk goes through the rows that are wanted, round at their ends.
func (p *Place) walk(by int, wanted func(item) bool) {
	p.wake()
	var list []item
	for _, item := range p.items {
		if wanted(item) {
			list = append(list, item)
		}
	}
	if len(list) == 0 {
		return
	}
	selection := p.room.Session.Selection()
	at := slices.IndexFunc(list, func(i item) bool { return i.selection == selection })
	switch {
	case at >= 0:
		at = (at + by + len(list)) % len(list)
	case by > 0:
		at = 0
	default:
		at = len(list) - 1
	}
	p.room.Session.Select(list[at].selection)
	p.reveal(list[at].card)
}

// revealChosen scrolls to what is looked at, whoever chose it.
func (p *Place) revealChosen() {
	if at := p.chosen(); at >= 0 && p.scroll.Size().Height > 0 {
		p.reveal(p.items[at].card)
	}
}

// following lays the rows out, and keeps what is looked at in sight where they
// became narrower or wider: the column that opens beside the list breaks the lines
// of its cards anew, and all of them move.
type following struct {
	look.Rows
	place *Place
	wide  float32
}

// Layout lays them out.
func (f *following) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	f.Rows.Layout(objects, size)
	if f.wide != size.Width && !f.place.late {
		f.wide = size.Width
		f.place.revealChosen()
	}
}

// reveal scrolls to a row that cannot be seen.
func (p *Place) reveal(c *card) {
	top, height := c.Position().Y, c.Size().Height
	view := p.scroll.Size().Height
	switch {
	case top < p.scroll.Offset.Y:
		p.scroll.ScrollToOffset(fyne.NewPos(0, top))
	case top+height > p.scroll.Offset.Y+view:
		p.scroll.ScrollToOffset(fyne.NewPos(0, top+height-view+12))
	}
}

// turnAside sets a finding aside, as one that was dealt with, or takes it up
// again. It stays in the list.
func (p *Place) turnAside() {
	p.wake()
	at := p.chosen()
	if at < 0 || p.items[at].key == "" {
		return
	}
	p.room.Session.SetAside(p.items[at].key, !p.room.Session.IsAside(p.items[at].key))
	p.items[at].card.aside = p.room.Session.IsAside(p.items[at].key)
	p.items[at].card.Refresh()
}
