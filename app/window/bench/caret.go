package bench

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"

	"bellout/app/session"
	"bellout/model"
)

// spot is a field of the bench, in whichever arrangement.
type spot int

const (
	atValue spot = iota
	atRed
	atBlack
	atCondition
	atReason
)

// came notes that the caret is in a field. What is opened on the way, the conditions
// and a reason, gives it back to the field before.
func (b *Bench) came(to spot) {
	if to == atCondition || to == atReason {
		if b.draft.at != atCondition && b.draft.at != atReason {
			b.draft.before = b.draft.at
		}
	}
	b.draft.at = to
}

// at is the field of a spot.
func (p *panel) at(which spot) fyne.Focusable {
	switch {
	case which == atRed:
		return p.leads[session.Red].entry
	case which == atBlack:
		return p.leads[session.Black].entry
	case which == atCondition && p.conditions.field.Visible():
		return p.conditions.line
	case which == atReason && p.strike.field.Visible():
		return p.strike.reason
	}
	return p.value
}

// Resume gives the keyboard back to the field of the bench that had it.
func (b *Bench) Resume() {
	if b.panel != nil {
		b.focus(b.panel.at(b.draft.at))
	}
}

// Focused is true while a field of the bench has the keyboard.
func (b *Bench) Focused() bool {
	if b.panel == nil || b.room.Canvas == nil || b.room.Canvas() == nil {
		return false
	}
	on := b.room.Canvas().Focused()
	for _, which := range []spot{atValue, atRed, atBlack, atCondition, atReason} {
		if on != nil && on == b.panel.at(which) {
			return true
		}
	}
	return on != nil && on == fyne.Focusable(b.panel.readings)
}

// giveBack goes to the field that had the keyboard before conditions or a reason were
// asked for.
func (b *Bench) giveBack() { b.focus(b.panel.at(b.draft.before)) }

// toLead goes to the field of a tip. A place that was typed for the value goes along:
// the tip is put there.
func (b *Bench) toLead(tip session.Tip) {
	lead, text := b.panel.leads[tip], strings.TrimSpace(b.draft.value)
	if _, err := b.desk.ReadEntry(text); text != "" && err != nil {
		if ref, there := b.exact(text); there {
			b.panel.value.SetText("")
			lead.put(ref)
			lead.goOn()
			return
		}
	}
	b.focus(lead.entry)
}

// Type takes a letter that was typed where nothing takes letters: into the field of the
// tip that is still nowhere, else into the value.
func (b *Bench) Type(letter rune) {
	if b.panel == nil || b.blocked() != "" {
		return
	}
	to := b.panel.value
	for _, tip := range []session.Tip{session.Black, session.Red} {
		if b.desk.Tip(tip) == (model.TerminalRef{}) && b.desk.Tip(1-tip) != (model.TerminalRef{}) {
			to = b.panel.leads[tip].entry
		}
	}
	b.focus(to)
	if b.room.Canvas != nil && b.room.Canvas() != nil && b.room.Canvas().Focused() == fyne.Focusable(to) {
		to.TypedRune(letter)
	}
}

// placed does something by which the bench itself puts a tip somewhere.
func (b *Bench) placed(do func()) {
	before := b.placing
	b.placing = true
	do()
	b.placing = before
}

// followTips goes to the value where both tips were put somewhere by the mouse, or by a
// probe that was taken elsewhere: what comes next is what the meter shows.
func (b *Bench) followTips(what session.Changed) {
	if b.panel == nil || b.placing || !what.Has(session.Tips) || what.Has(session.File) || !b.desk.Placed() {
		return
	}
	b.Focus()
}

// HalfTyped lists what is typed on the bench and not stored.
func (b *Bench) HalfTyped() []string { return b.draft.halfTyped() }

func (d *draft) halfTyped() []string {
	var list []string
	add := func(text, where string) {
		if text = strings.TrimSpace(text); text != "" {
			list = append(list, fmt.Sprintf("“%s” (%s)", text, where))
		}
	}
	add(d.value, "what the meter shows")
	for _, tip := range []session.Tip{session.Red, session.Black} {
		if d.edited[tip] {
			add(d.leads[tip], "where the "+tipWords[tip].name+" tip is")
		}
	}
	add(d.condition, "what is changed")
	add(d.reason, "why a reading is struck out")
	return list
}
