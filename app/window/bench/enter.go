package bench

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"

	"bellout/app/session"
)

// enter is Enter in the value field: it stores what is typed, or takes the
// proposed probe where nothing is typed. Whatever is wrong, what was typed
// stays where it is.
func (b *Bench) enter() {
	for tip := range b.panel.leads {
		if !b.panel.leads[tip].commit() {
			if b.draft.failed[tip] != "" {
				b.focus(b.panel.leads[tip].entry)
			}
			return
		}
	}
	text := strings.TrimSpace(b.panel.value.Text)
	if text == "" {
		b.enterNothing()
		return
	}
	entry, err := b.desk.ReadEntry(text)
	if err != nil {
		if !b.takePlace(text) {
			b.draft.refused = true
			b.panel.say(saidWrong, err.Error())
			b.panel.value.TypedShortcut(&fyne.ShortcutSelectAll{}) // the next one is written over it
		}
		return
	}
	if why := b.refused(); why != "" {
		b.desk.NoteVolts(entry)
		b.panel.say(saidWrong, why)
		return
	}
	if ask := b.doubt(entry); ask != "" && b.draft.confirmed != ask+text {
		b.draft.confirmed = ask + text
		b.panel.say(saidCaution, ask)
		return
	}
	b.draft.confirmed = ""
	b.withCaution(func() { b.log(entry, text) })
}

// enterNothing is Enter with nothing typed.
func (b *Bench) enterNothing() {
	now := b.touch()
	if b.offersAgain(now) {
		b.again()
		return
	}
	switch now.stage {
	case proposed:
		b.take()
	case taken:
		b.panel.say(saidHint, "The tips are noted. Write what the meter shows: b, s, OL, 12.5, 4.7k, 11.98V.")
	case byHand:
		text := "Write what the meter shows"
		if !now.whole() {
			text = "Write where the other tip is"
		}
		if next := b.desk.View().Next; next != nil && next.Probe != nil {
			text += fmt.Sprintf("; or F6 for the proposed probe, %s and %s", next.Probe.Red, next.Probe.Black)
		}
		b.panel.say(saidHint, text+".")
	case thinking:
		b.panel.say(saidHint, "The next probe is still being worked out. Any two terminals can be written meanwhile.")
	case nothing:
		b.panel.say(saidHint, "Nothing is left that is worth a probe for this goal. Another goal may have one; any two terminals can be written.")
	default:
		b.panel.say(saidHint, b.blocked())
	}
}

// log stores a reading of the tips where they are noted.
func (b *Bench) log(entry session.Entry, text string) {
	followed, vague := b.desk.Offered() != nil, b.expectedFor != "" && b.expectErr == nil && !b.expected.Known
	before := b.draft.logged
	b.draft.logged, b.draft.waiting = b.noted(), text
	if err := b.desk.Log(entry); err != nil {
		b.draft.logged, b.draft.waiting = before, ""
		b.panel.say(saidWrong, err.Error())
		return
	}
	b.draft.followed, b.draft.chosen, b.draft.vague, b.draft.sureDead = followed, 0, vague, false
	b.panel.showChosen()
	b.panel.value.SetText("")
	b.panel.say(saidNothing, "")
	b.panel.show(session.Tips)
	if followed || b.draft.waiting == "" && b.desk.Outcome() == nil {
		b.focus(b.panel.value)
		return
	}
	b.focus(b.panel.leads[b.draft.moved].entry)
}

// take puts the tips and the conditions where the proposal says.
func (b *Bench) take() {
	if why := b.blocked(); why != "" {
		b.panel.say(saidHint, why)
		return
	}
	b.withCaution(func() {
		took := false
		b.placed(func() { took = b.desk.Take() })
		if !took {
			b.panel.say(saidHint, "The next probe is still being worked out.")
			return
		}
		b.draft.edited, b.draft.confirmed = [2]bool{}, ""
		b.panel.takeTips(true)
		b.panel.say(saidNothing, "")
		b.focus(b.panel.value)
	})
}

// withCaution does something with the meter once the caution card was shown in
// this sitting.
func (b *Bench) withCaution(do func()) {
	if b.room.Touch == nil {
		do()
		return
	}
	b.room.Touch(do)
}

// skip asks not to be sent to the proposed probe again. Tips that were noted for
// it stay noted, as where they were last.
func (b *Bench) skip() {
	switch b.touch().stage {
	case taken, proposed:
		b.draft.logged = b.noted()
		b.desk.Skip()
		b.panel.say(saidHint, "Skipped; another one is looked for. Another goal may bring it back.")
		b.focus(b.panel.value)
	case byHand:
		b.panel.say(saidHint, "Skipping is for proposed probes; this touch is your own. F6 takes the proposed one.")
	}
}

// swap changes the tips over, with what is typed in their fields taken first.
func (b *Bench) swap() {
	for tip := range b.panel.leads {
		if !b.panel.leads[tip].commit() {
			return
		}
	}
	b.placed(b.desk.SwapTips)
}

// keepLast says that what held last time still does; clearLast that it does not.
func (b *Bench) keepLast() {
	b.desk.ConfirmConditions()
	b.panel.say(saidHint, "The machine is as the marks say.")
}

func (b *Bench) clearLast() {
	for _, condition := range b.desk.HeldIn(session.HeldLast) {
		b.removeCondition(condition)
	}
	b.panel.say(saidHint, "Cleared: what was changed last time is as it was.")
}

// refused says why nothing can be stored in this file; empty if something can.
func (b *Bench) refused() string { return refusedBy(b.desk.View()) }

func refusedBy(view session.View) string {
	if !view.ReadOnly {
		return ""
	}
	return "This file is open for reading only: " + strings.TrimSuffix(view.Why, ".") + ". Tips can be written, to see what a good machine shows; to store, save a copy (Ctrl S), open that, and log there."
}

// blocked says why nothing can be logged at all; empty if something can.
func (b *Bench) blocked() string { return blockedBy(b.desk.View()) }

func blockedBy(view session.View) string {
	switch {
	case view.Path == "":
		return "No file is open. Open one, or begin a new one; then probes are logged here."
	case len(view.Machine.Terminals) == 0:
		return "No terminals are on the map yet. Add a supply or a connector under Parts (F4), or read a table in; then this column says where to put the tips."
	}
	return ""
}
