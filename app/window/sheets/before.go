package sheets

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"

	"bellout/app/changes"
	"bellout/app/session"
	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/app/window/room"
	"bellout/faults/nextprobe"
	"bellout/model/store"
)

// before is the page of states: to name one, and to hold two against each other.
type before struct {
	place    *Place
	object   fyne.CanvasObject
	name     *keys.Entry
	from, to *keys.Entry
	wrong    *look.Paragraph
	named    *look.Paragraph
	queued   *look.Paragraph
	result   *fyne.Container
	scroll   *container.Scroll
	shown    *compared
	chart    *keys.Button
	verify   *keys.Button
}

// compared is a comparison that was worked out; it outlives the place.
type compared struct {
	from, to string
	sides    *changes.Sides
	report   *changes.Report
	again    *changes.Again
}

const (
	comparedMemory = "Sheets.compared"
	fromMemory     = "Sheets.from"
	toMemory       = "Sheets.to"
	nameMemory     = "Sheets.name"
)

func newBefore(p *Place) *before {
	b := &before{place: p, wrong: look.BadProse(""), named: look.SoftProse(""), queued: look.SoftProse(""), result: container.New(&look.Rows{Gap: 4})}
	b.wrong.Hide()
	b.name = b.field("a name, as in as found", nameMemory, b.nameState)
	b.from = b.field("from, as in as found", fromMemory, b.compare)
	b.to = b.field("to: now, or a name", toMemory, b.compare)
	if b.to.Text == "" {
		b.to.SetText(session.Present)
	}
	b.from.Passing, b.to.Passing = true, true
	b.chart = keys.NewButton(p.room.Keys, "On the chart", "Ctrl Shift K", b.showOnChart)
	b.verify = keys.NewButton(p.room.Keys, "To the bench", "Ctrl Shift Q", b.queue)
	caption := func(text string) fyne.CanvasObject { return container.NewCenter(look.Caption(text)) }
	naming := container.NewBorder(nil, nil, caption("Name the present state"), keys.NewButton(p.room.Keys, "Name", "Ctrl Shift N", b.nameState), b.name)
	comparing := container.NewBorder(nil, nil, caption("Compare"), keys.NewButton(p.room.Keys, "Compare", "Ctrl Shift B", b.compare),
		container.NewGridWithColumns(2, b.from, container.NewBorder(nil, nil, caption("with"), nil, b.to)))
	head := container.New(&look.Rows{Gap: 7}, heading("Before and after"), naming, b.named, comparing, b.wrong)
	b.scroll = container.NewVScroll(container.New(&look.Rows{Gap: 4}, padded(b.result)))
	b.object = container.NewBorder(padded(head), nil, nil, nil, b.scroll)
	if kept, ok := p.room.Memory[comparedMemory].(*compared); ok {
		b.shown = kept
	}
	b.fill()
	return b
}

// field is a line whose text outlives the place.
func (b *before) field(hint, memory string, enter func()) *keys.Entry {
	e := keys.NewEntry(b.place.room.Keys)
	e.SetPlaceHolder(hint)
	if text, ok := b.place.room.Memory[memory].(string); ok {
		e.SetText(text)
	}
	e.OnChanged = func(text string) { b.place.room.Memory[memory] = text }
	e.OnSubmitted = func(string) { enter() }
	return e
}

func (b *before) focusName() { b.place.focusOn(b.name) }
func (b *before) focusFrom() { b.place.focusOn(b.from) }

func (b *before) compared() bool  { return b.shown != nil }
func (b *before) hasChecks() bool { return b.shown != nil && len(b.shown.again.Checks) > 0 }

// forget lets go of what is about another file.
func (b *before) forget() {
	b.shown = nil
	delete(b.place.room.Memory, comparedMemory)
	b.from.SetText("")
	b.to.SetText(session.Present)
	b.fill()
}

// refresh lists the names, and compares anew what was compared with the present.
func (b *before) refresh() {
	b.place.room.Session.AskStates(func(list []store.NamedState) {
		if len(list) == 0 {
			b.named.Set("No state has a name yet. Name one before you begin to repair, as in as found: the present machine can then be compared with it at any time.", look.Now().Soft)
		} else {
			words := make([]string, len(list))
			for i, s := range list {
				words[i] = fmt.Sprintf("%s (%s)", s.Name, s.At.Format("2 January 2006 15:04"))
			}
			b.named.Set("Named: "+strings.Join(words, ", ")+".", look.Now().Soft)
			if b.from.Text == "" {
				b.from.SetText(list[0].Name)
			}
		}
		b.object.Refresh()
	})
	if b.shown != nil && (b.shown.to == session.Present || b.shown.from == session.Present) {
		b.work(b.shown.from, b.shown.to)
	}
}

func (b *before) nameState() {
	name := strings.TrimSpace(b.name.Text)
	if name == "" {
		b.tell(errors.New("write a name into the field first, as in as found"))
		b.focusName()
		return
	}
	b.place.room.Session.NameState(name, func(err error) {
		b.tell(err)
		if err == nil {
			b.name.SetText("")
			b.place.room.Session.Say("The machine as it is now is " + name + ".")
			b.refresh()
		}
	})
}

func (b *before) compare() {
	from, to := strings.TrimSpace(b.from.Text), strings.TrimSpace(b.to.Text)
	if to == "" {
		to = session.Present
	}
	if from == "" {
		b.tell(errors.New("write the name of a state into the field from; those that have a name stand above"))
		b.focusFrom()
		return
	}
	b.work(from, to)
}

func (b *before) work(from, to string) {
	b.place.room.Session.Compare(from, to, func(sides *changes.Sides, report *changes.Report, again *changes.Again, err error) {
		if errors.Is(err, context.Canceled) { // the person stopped it; what was shown stays
			return
		}
		b.tell(err)
		if err != nil {
			return
		}
		b.shown = &compared{from, to, sides, report, again}
		b.place.room.Memory[comparedMemory] = b.shown
		b.fill()
	})
}

func (b *before) tell(err error) {
	if err == nil {
		b.wrong.Hide()
	} else {
		b.wrong.Set(err.Error(), look.Now().Bad)
		b.wrong.Show()
	}
	b.object.Refresh()
}

// mostEntries is how many rows of a group are listed.
const mostEntries = 60

func (b *before) fill() {
	b.result.RemoveAll()
	defer b.result.Refresh()
	if b.shown == nil {
		return
	}
	report, again := b.shown.report, b.shown.again
	t := look.Now()
	b.result.Add(look.Line(report.From+"  \u2192  "+report.To, t.Ink, theme.SizeNameSubHeadingText, fyne.TextStyle{Bold: true}))
	b.chart.Off, b.verify.Off = report.Empty(), len(again.Checks) == 0
	b.result.Add(container.NewHBox(b.chart, b.verify))
	b.sayQueue()
	b.result.Add(b.queued)
	if report.Empty() {
		b.result.Add(look.Prose("Nothing differs."))
	}
	b.findings("Findings gone", look.SignAgrees, report)
	b.findings("Findings new", look.SignFault, report)
	for _, g := range report.Wiring() {
		b.head(fmt.Sprintf("%s: %d", g.Title, len(g.Entries)))
		for i, e := range g.Entries {
			if i == mostEntries {
				b.result.Add(look.SoftProse(fmt.Sprintf("and %d more: bellout compare --json lists all", len(g.Entries)-mostEntries)))
				break
			}
			b.result.Add(newRow(nil, e.Words, func() { b.lookAt(e) }))
		}
	}
	b.readings(report)
	if again.Empty() {
		return
	}
	b.head(fmt.Sprintf("To be verified again: %d probes", len(again.Checks)))
	for _, c := range again.Checks {
		words := fmt.Sprintf("%s to %s, %s", c.Probe.Red, c.Probe.Black, c.Probe.Mode)
		if len(c.Probe.Conditions) > 0 {
			words += ", " + c.Probe.Conditions.String()
		}
		if len(c.Proves) > 0 {
			words += ": proves " + strings.Join(c.Proves, ", ")
		}
		b.result.Add(newRow(nil, words+". "+strings.Join(c.Because, "; ")+".", func() { b.place.room.Session.TakeProbe(c.Probe) }))
	}
	for _, l := range again.Left {
		b.result.Add(newRow(look.SignWarning.Image(18), l.What+": no touch that may be asked for proves it. "+l.Why+".", nil))
	}
}

// readings counts what became of the readings, and names those that brought or
// settled a finding.
func (b *before) readings(report *changes.Report) {
	groups := report.Readings()
	for _, g := range groups {
		b.head(fmt.Sprintf("%s: %d", g.Title, len(g.Entries)))
	}
	if len(groups) == 0 {
		return
	}
	telling := b.shown.sides.Telling(report)
	if len(telling) == 0 {
		b.result.Add(look.SoftProse("None of them brought or settled a finding; bellout compare --json lists them."))
	}
	for i, t := range telling {
		if i == mostEntries {
			b.result.Add(look.SoftProse(fmt.Sprintf("and %d more", len(telling)-mostEntries)))
			break
		}
		b.result.Add(newRow(nil, t.Words+": "+t.Why, func() { b.lookAt(t.Entry) }))
	}
}

func (b *before) head(text string) {
	b.result.Add(look.Gap(6))
	b.result.Add(look.Line(text, look.Now().Soft, theme.SizeNameText, fyne.TextStyle{Bold: true}))
}

func (b *before) findings(title string, sign look.Sign, report *changes.Report) {
	list := report.New
	if sign == look.SignAgrees {
		list = report.Gone
	}
	if len(list) == 0 {
		return
	}
	b.head(fmt.Sprintf("%s: %d", title, len(list)))
	for _, f := range list {
		b.result.Add(newRow(sign.Image(18), f.Headline, nil))
	}
}

// sayQueue says how many probes wait for the bench.
func (b *before) sayQueue() {
	waiting := b.place.room.Session.Waiting()
	text := "Ctrl Shift K brings out on the chart what differs. Ctrl Shift Q gives the bench the probes that verify it again, one by one."
	switch {
	case waiting.Total > 0 && waiting.Left > 0:
		text = fmt.Sprintf("%d of %d probes wait at the bench (%s): it proposes them one by one.", waiting.Left, waiting.Total, waiting.Of)
	case waiting.Total > 0:
		text = fmt.Sprintf("All %d probes are answered or skipped (%s).", waiting.Total, waiting.Of)
	}
	b.queued.Set(text, look.Now().Soft)
}

// lookAt selects what an entry is about, as far as the map has it.
func (b *before) lookAt(e changes.Entry) {
	d := b.place.room.Session
	if len(e.Wires) > 0 {
		if w, there := d.Machine().Wire(e.Wires[0]); there && !w.Removed {
			d.Select(session.Selection{Kind: session.Wire, Name: w.Name})
			return
		}
	}
	if _, there := d.Machine().Device(e.Device); there {
		d.Select(session.Selection{Kind: session.Device, Name: e.Device})
		return
	}
	d.Select(session.Selection{})
	h := session.Highlight{What: e.Name, Strands: []session.Strand{{Terminals: e.Terminals}}}
	if len(e.Wires) > 0 {
		h.Gone = gone(e.Name, e.Terminals)
	}
	d.SetHighlight(h)
}

// gone is a wire that is not there any more, by the ends that it had.
func gone(name string, ends []string) []session.Gone {
	if len(ends) != 2 {
		return nil
	}
	return []session.Gone{{Name: name, From: ends[0], To: ends[1]}}
}

// highlight is what differs, for the chart: wires that are there with their ends,
// and apart from them those that are gone, or that were elsewhere, where they were.
// The hint names what is gone.
func (b *before) highlight() session.Highlight {
	h := session.Highlight{What: "what differs, " + b.shown.from + " to " + b.shown.to}
	m := b.place.room.Session.Machine()
	var names []string
	for _, g := range b.shown.report.Groups {
		if !strings.HasPrefix(g.Name, "wires_") && !strings.HasPrefix(g.Name, "devices_") && g.Name != "links" && g.Name != "terminals" {
			continue
		}
		for _, e := range g.Entries {
			strand := session.Strand{Terminals: e.Terminals}
			for _, name := range e.Wires {
				if w, there := m.Wire(name); there && !w.Removed {
					strand.Wires = append(strand.Wires, name)
				} else {
					names = append(names, name)
				}
			}
			switch {
			case g.Name == "wires_removed":
				h.Gone = append(h.Gone, gone(e.Name, e.Terminals)...)
			case g.Name == "wires_moved" && len(e.Terminals) == 4: // the ends it has, then those it had
				h.Gone = append(h.Gone, gone(e.Name, e.Terminals[2:])...)
			}
			if e.Device != "" {
				h.Devices = append(h.Devices, e.Device)
			}
			if len(strand.Terminals) > 0 {
				h.Strands = append(h.Strands, strand)
			}
		}
	}
	if len(names) > 0 {
		h.What += "; taken out: " + strings.Join(names[:min(len(names), 6)], ", ")
		if len(names) > 6 {
			h.What += fmt.Sprintf(" and %d more", len(names)-6)
		}
	}
	return h
}

func (b *before) showOnChart() {
	if b.shown == nil {
		return
	}
	h := b.highlight()
	if h.Empty() {
		b.place.room.Session.Say("Nothing of the wiring differs that the chart could show.")
		return
	}
	b.place.room.Session.Select(session.Selection{})
	b.place.room.Session.SetHighlight(h)
	b.place.room.Show(room.Chart)
}

// queue gives the bench what must be verified again.
func (b *before) queue() {
	if !b.hasChecks() {
		return
	}
	var list []nextprobe.Proposal
	for _, c := range b.shown.again.Checks {
		list = append(list, c.Proposal)
	}
	b.place.room.Session.Queue("since "+b.shown.from, list)
	b.place.room.Session.Say(fmt.Sprintf("%d probes wait at the bench: it proposes them one by one.", len(list)))
	b.sayQueue()
}
