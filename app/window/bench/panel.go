package bench

import (
	"image/color"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"

	"bellout/app/session"
	"bellout/app/window/keys"
	"bellout/app/window/look"
)

// panel is one arrangement of the bench: the column, or the whole window.
type panel struct {
	bench *Bench
	size  sizes
	root  *fyne.Container

	upper, aside *fyne.Container // what is read above the fields; aside only in the whole window
	scroll       *container.Scroll
	asideScroll  *container.Scroll
	leads        [2]*lead
	value        *keys.Entry
	fields       *fyne.Container
	said         *saying
	choices      *choices
	conditions   *conditions
	presses      *fyne.Container
	take, skip   *look.Press
	swap, back   *look.Press
	keyLine      *look.Paragraph // in the place of the presses, where there is no room for them
	readings     *readings
	strike       *strike
	goals        *goals
	proven       *proven
	off          bool
	quiet        bool
	tight        bool // there is not room for all that the board would hold
	brief        int  // how far what is read was shortened, so that both tips are in sight
	boardSize    fyne.Size
}

func newPanel(b *Bench, size sizes) *panel {
	p := &panel{bench: b, size: size}
	p.upper, p.aside = container.New(&look.Rows{Gap: size.text * 0.5}), container.New(&look.Rows{Gap: size.text * 0.5})
	beside := layout.NewCustomPaddedLayout(0, 0, 0, barRoom) // of the bar that scrolls
	p.scroll, p.asideScroll = container.NewVScroll(container.New(beside, p.upper)), container.NewVScroll(container.New(beside, p.aside))
	p.choices = newChoices(size)
	p.choices.lay = p.layChoices
	for _, tip := range []session.Tip{session.Red, session.Black} {
		p.leads[tip] = newLead(p, tip)
		p.leads[tip].entry.SetPlaceHolder("where")
	}
	p.value = keys.NewEntry(b.room.Keys)
	p.value.TextStyle = fyne.TextStyle{Monospace: true, Bold: true}
	p.value.OnChanged = p.typed
	p.value.OnSubmitted = func(string) { b.enter() }
	p.value.OnKey = p.turn
	p.value.Passing = true // kept by the draft
	p.value.OnFocus = func(came bool) {
		if came {
			b.came(atValue)
			p.overwrite()
			p.hintAgain()
		}
	}
	p.fields = container.New(&look.Shares{Gap: 8, Parts: []float32{1.1, 1.1, 1}},
		p.fieldOf(tipLabel(session.Red, size, "Ctrl L"), p.leads[session.Red].entry),
		p.fieldOf(tipLabel(session.Black, size, "Ctrl K"), p.leads[session.Black].entry),
		p.fieldOf(valueLabel(size, "Ctrl M"), p.value))
	p.said = newSaying(size)
	p.conditions = newConditions(p)
	p.take, p.skip = look.NewPress("Use", "F6", b.act(b.take)), look.NewPress("Skip", "F7", b.act(b.skip))
	p.swap, p.back = look.NewPress("Swap", "F8", b.act(b.swap)), look.NewPress("Undo", "Ctrl U", b.act(b.takeBack))
	p.presses = container.New(&look.Flow{Gap: 5}, p.take, p.skip, p.swap, p.back)
	p.keyLine = look.NewParagraph("", size.small, look.Now().Soft, fyne.TextStyle{})
	p.readings, p.strike = newReadings(p), newStrike(p)
	p.goals, p.proven = newGoals(b), newProven(size)
	objects := []fyne.CanvasObject{p.scroll}
	if size.alone {
		objects = append(objects, p.asideScroll)
	}
	objects = append(objects, p.fields, p.said, p.conditions.chips, p.conditions.field)
	if size.alone {
		objects = append(objects, p.keyLine, p.strike.object)
	} else {
		objects = append(objects, p.presses, p.keyLine, p.readings, p.strike.object, p.goals.object)
	}
	objects = append(objects, p.proven, p.choices)
	p.root = container.New(&panelLayout{p}, objects...)
	return p
}

// overwrite marks a value that was refused, so that the next one is written over it.
func (p *panel) overwrite() {
	if p.bench.draft.refused {
		p.value.TypedShortcut(&fyne.ShortcutSelectAll{})
	}
}

// act keeps a press from doing what its key would not do now.
func (b *Bench) act(do func()) func() {
	return func() {
		if b.panel == nil {
			return
		}
		if why := b.blocked(); why != "" {
			b.panel.say(saidHint, why)
			return
		}
		do()
		b.resume()
	}
}

// fieldOf is a field under its label.
func (p *panel) fieldOf(label fyne.CanvasObject, field fyne.CanvasObject) fyne.CanvasObject {
	return container.New(&look.Rows{Gap: 3}, label, inType(field, p.size.field))
}

func tipLabel(tip session.Tip, size sizes, key string) fyne.CanvasObject {
	ground, edge, ink := tipColours(tip)
	back := canvas.NewRectangle(ground)
	back.StrokeColor, back.StrokeWidth, back.CornerRadius = edge, 1.5, 3
	if tip == session.Red {
		back.CornerRadius = size.small * 0.8
	}
	word := sideText(tipWords[tip].capital, size.small, ink)
	return container.New(look.Labelled{}, container.NewStack(back, look.Inset(2, container.NewHBox(gap(4), word, gap(4)))), look.KeyCap(key))
}

func valueLabel(size sizes, key string) fyne.CanvasObject {
	word := sideText("SHOWS", size.small, look.Now().Ink)
	return container.New(look.Labelled{}, look.Inset(2, word), look.KeyCap(key))
}

func gap(width float32) fyne.CanvasObject {
	space := canvas.NewRectangle(color.Transparent)
	space.SetMinSize(fyne.NewSize(width, 1))
	return space
}

// takeDraft brings what is typed and not stored into this arrangement.
func (p *panel) takeDraft() {
	draft := p.bench.draft
	p.quiet = true
	p.value.SetText(draft.value)
	p.quiet = false
	for tip, lead := range p.leads {
		lead.shown = p.bench.desk.Tip(lead.tip)
		if draft.edited[tip] {
			lead.write(draft.leads[tip])
			continue
		}
		lead.takeTip(true)
	}
	p.conditions.line.SetText(draft.condition)
	p.choices.close()
	p.conditions.field.Hide()
	if draft.adding {
		p.conditions.field.Show()
	}
	p.strike.reason.SetText(draft.reason)
	if draft.striking > 0 {
		p.strike.ask()
	}
}

// takeTips shows in the fields where the tips are. It returns what was half typed in
// one and is not there any more, in words.
func (p *panel) takeTips(anyway bool) (lost []string) {
	for _, lead := range p.leads {
		if words := lead.takeTip(anyway); words != "" {
			lost = append(lost, words)
		}
	}
	return lost
}

// typed follows the value as it is typed.
func (p *panel) typed(text string) {
	if p.quiet {
		return
	}
	b := p.bench
	before := b.typedMode()
	b.draft.value = text
	if b.draft.confirmed != "" {
		b.draft.confirmed = ""
	}
	b.draft.refused, b.draft.sureDead = false, false
	p.say(saidNothing, "")
	if b.typedMode() != before {
		p.showBoard()
	}
}

// turn moves what is read above the fields, a page at a time, while the caret
// stays where it is.
func (p *panel) turn(key fyne.KeyName) bool {
	by := p.scroll.Size().Height * 0.8
	switch key {
	case fyne.KeyPageDown:
	case fyne.KeyPageUp:
		by = -by
	default:
		return false
	}
	for _, scroll := range []*container.Scroll{p.scroll, p.asideScroll} {
		most := max(scroll.Content.Size().Height-scroll.Size().Height, 0)
		scroll.ScrollToOffset(fyne.NewPos(0, min(max(scroll.Offset.Y+by, 0), most)))
	}
	return true
}

// show follows what changed on the desk.
func (p *panel) show(what session.Changed) {
	b := p.bench
	var lost []string
	if what.Has(session.Tips | session.File | session.Map) {
		lost = p.takeTips(false)
	}
	if what.Has(session.Tips) && !what.Has(session.File) {
		p.overwrite()
		if b.draft.chosen != 0 { // so is what is said of an old reading
			b.draft.chosen = 0
			p.readings.take()
			p.showChosen()
		}
	}
	if what.Has(session.File | session.Map | session.Readings) {
		p.able()
		p.readings.take()
		p.showChosen()
	}
	if what.Has(session.File | session.Readings | session.Findings) {
		p.proven.show(b.desk)
	}
	if what.Has(session.File | session.Conditions | session.Map) {
		p.conditions.show()
	}
	if what.Has(session.File | session.Proposal) {
		p.goals.show()
	}
	if what.Has(session.File | session.Map | session.Readings | session.Proposal | session.Tips | session.Conditions | session.Answered) {
		if what.Has(session.File | session.Tips | session.Answered) {
			p.said.own = true // what was wrong before is over
		}
		p.showBoard()
	}
	if len(lost) > 0 {
		p.say(saidCaution, strings.Join(lost, " "))
	}
}

// able sees to it that nothing can be typed where nothing can be stored.
func (p *panel) able() {
	off := p.bench.blocked() != ""
	if off == p.off {
		return
	}
	p.off = off
	for _, field := range []*keys.Entry{p.leads[session.Red].entry, p.leads[session.Black].entry, p.value, p.conditions.line, p.strike.reason} {
		if off {
			field.Disable()
		} else {
			field.Enable()
		}
	}
	for _, press := range []*look.Press{p.take, p.skip, p.swap, p.back} {
		press.Off = off
		press.Refresh()
	}
	p.conditions.show()
}

// showBoard makes what is read above the fields anew.
func (p *panel) showBoard() {
	b := p.bench
	now := b.touch()
	b.expect(now)
	p.fillBoard(now)
	if off := p.off || now.stage != proposed && now.stage != taken; p.skip.Off != off {
		p.skip.Off = off
		p.skip.Refresh()
	}
	if primary := now.stage == proposed && !b.offersAgain(now); p.take.Primary != primary {
		p.take.Primary = primary
		p.take.Refresh()
	}
	if p.said.kind == saidNothing || p.said.own {
		p.hint(now)
	}
	p.layAgain()
	p.scroll.ScrollToTop()
	p.asideScroll.ScrollToTop()
}

// layAgain lays everything out, after something became higher or went away.
func (p *panel) layAgain() {
	p.upper.Refresh()
	p.aside.Refresh()
	p.root.Layout.Layout(p.root.Objects, p.root.Size())
	p.scroll.Refresh()
	p.asideScroll.Refresh()
	canvas.Refresh(p.root)
}

// layChoices puts the list of choices where its field is.
func (p *panel) layChoices() { (&panelLayout{p}).list(p.root.Size()) }

// showChosen says all about the reading that is chosen.
func (p *panel) showChosen() {
	t := look.Now()
	text := ""
	if reading, there := p.bench.desk.Machine().Reading(p.bench.draft.chosen); there {
		text = p.bench.chosenWords(reading)
		if reading.Stands() && p.bench.blocked() == "" && p.bench.refused() == "" {
			text += " Ctrl R, or Del in the list, strikes it out."
		}
	}
	p.strike.words.Set(text, t.Soft)
	p.strike.words.Hidden = text == ""
	p.layAgain()
}

func (p *panel) openConditions() { p.conditions.open() }

func (p *panel) openStrike() {
	for _, why := range []string{p.bench.blocked(), p.bench.refused()} {
		if why != "" {
			p.say(saidHint, why)
			return
		}
	}
	p.strike.open()
}
