package bench

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"

	"bellout/app/session"
	"bellout/app/window/bench/find"
	"bellout/app/window/keys"
	"bellout/faults/judge"
	"bellout/model"
	"bellout/model/wording"
)

// lead is the field that says where one tip is.
type lead struct {
	bench *Bench
	panel *panel
	tip   session.Tip
	entry *keys.Entry
	quiet bool
	shown model.TerminalRef // what the field showed for the desk last
	list  []find.Place
}

// mostChoices is how many places are listed under a field: what the eye takes in
// at once.
const mostChoices = 7

func newLead(p *panel, tip session.Tip) *lead {
	l := &lead{bench: p.bench, panel: p, tip: tip, entry: keys.NewEntry(p.bench.room.Keys)}
	l.entry.TextStyle = fyne.TextStyle{Monospace: true, Bold: true}
	l.entry.OnChanged = l.typed
	l.entry.OnSubmitted = func(string) { l.enter() }
	l.entry.OnKey = l.key
	l.entry.Passing = true // kept by the draft
	l.entry.OnFocus = l.focus
	return l
}

// write puts a text into the field that nobody typed.
func (l *lead) write(text string) {
	l.quiet = true
	l.entry.SetText(text)
	l.quiet = false
}

// takeTip shows where the desk says that the tip is. What is half typed stays,
// unless the tip was put somewhere else meanwhile, or anyway is true. It says what was
// typed and is not there any more.
func (l *lead) takeTip(anyway bool) (lost string) {
	ref := l.bench.desk.Tip(l.tip)
	moved := ref != l.shown
	l.shown = ref
	draft := l.bench.draft
	if draft.edited[l.tip] && !moved && !anyway {
		return ""
	}
	if typed := strings.TrimSpace(draft.leads[l.tip]); draft.edited[l.tip] && !anyway && typed != "" && !strings.EqualFold(typed, ref.String()) {
		lost = fmt.Sprintf("“%s” was typed for the %s tip, which was put on %s meanwhile.", typed, tipWords[l.tip].name, ref)
	}
	draft.edited[l.tip], draft.leads[l.tip], draft.failed[l.tip] = false, "", ""
	if moved {
		draft.completed[l.tip] = ""
	}
	text := ""
	if ref != (model.TerminalRef{}) {
		text = ref.String()
	}
	if l.entry.Text != text {
		l.write(text)
	}
	return lost
}

func (l *lead) typed(text string) {
	if l.quiet {
		return
	}
	draft := l.bench.draft
	failed := draft.failed[l.tip] != ""
	draft.edited[l.tip], draft.leads[l.tip], draft.failed[l.tip] = true, text, ""
	if failed {
		l.panel.showBoard()
	}
	l.panel.say(saidNothing, "")
	l.list = nil
	if l.bench.isValue(text) {
		l.panel.say(saidHint, fmt.Sprintf("“%s” is a reading: Enter puts it under SHOWS.", strings.TrimSpace(text)))
	} else if l.bench.index != nil {
		l.list = l.bench.index.Query(text, mostChoices)
	}
	l.showList()
}

func (l *lead) showList() {
	items := make([]choice, len(l.list))
	for i, place := range l.list {
		items[i] = choice{place.Text, place.Where()}
	}
	l.panel.choices.show(items, func(at int) {
		typed := ""
		if l.bench.draft.edited[l.tip] {
			typed = l.entry.Text
		}
		l.put(l.list[at].Ref)
		l.completed(typed, l.list[at].Ref)
		l.goOn()
		l.sayCompleted()
	})
}

// key takes the keys that walk through the list.
func (l *lead) key(name fyne.KeyName) bool {
	list := l.panel.choices
	switch name {
	case fyne.KeyDown:
		if !list.open() {
			l.offerNext()
			return true
		}
		list.step(1)
		return true
	case fyne.KeyUp:
		if list.open() {
			list.step(-1)
			return true
		}
	case fyne.KeyEscape:
		if list.open() {
			list.close()
			return true
		}
		if l.bench.draft.edited[l.tip] {
			l.takeTip(true)
			l.panel.say(saidNothing, "")
			l.panel.showBoard()
			return true
		}
	}
	return l.panel.turn(name)
}

// offerNext lists where a lead goes that walks along its connector.
func (l *lead) offerNext() {
	if l.bench.index == nil {
		return
	}
	if l.bench.draft.edited[l.tip] {
		l.list = l.bench.index.Query(l.entry.Text, mostChoices)
	} else {
		l.list = l.bench.index.After(l.bench.desk.Tip(l.tip), mostChoices)
	}
	l.showList()
}

// enter takes the place that is marked in the list, or what is typed.
func (l *lead) enter() {
	if l.handOver() {
		l.bench.focus(l.panel.value)
		return
	}
	if at, open := l.panel.choices.chosen(); open {
		l.panel.choices.take(at)
		return
	}
	if b := l.bench; l.tip == session.Black && !b.draft.edited[l.tip] && b.offersAgain(b.touch()) {
		b.again()
		return
	}
	if l.commit() {
		l.goOn()
	}
}

// goOn moves the caret from the red tip to the black one, always: where that is from the
// last reading is seen before the next one is stored for it. From there it goes to what
// is still missing, and else to the value.
func (l *lead) goOn() {
	other := l.panel.leads[1-l.tip]
	missing := l.bench.desk.Tip(other.tip) == (model.TerminalRef{}) && !l.bench.draft.edited[other.tip]
	if l.tip == session.Red || missing {
		l.bench.focus(other.entry)
		return
	}
	l.bench.focus(l.panel.value)
}

// commit puts the tip where the field says. It is false, and says why, where
// that is no terminal; what is typed stays.
func (l *lead) commit() bool {
	draft := l.bench.draft
	if !draft.edited[l.tip] {
		return true
	}
	text := strings.TrimSpace(l.entry.Text)
	if text == "" {
		l.put(model.TerminalRef{})
		return true
	}
	if l.handOver() {
		return false
	}
	ref, err := l.bench.resolve(text)
	if err != nil {
		draft.failed[l.tip] = fmt.Sprintf("%s tip: %v", capital(tipWords[l.tip].name), err)
		l.panel.say(saidWrong, draft.failed[l.tip])
		l.panel.showBoard()
		return false
	}
	l.put(ref)
	l.completed(text, ref)
	l.sayCompleted()
	return true
}

func (l *lead) put(ref model.TerminalRef) {
	draft := l.bench.draft
	draft.edited[l.tip], draft.leads[l.tip], draft.failed[l.tip], draft.completed[l.tip] = false, "", "", ""
	l.panel.choices.close()
	if l.bench.desk.Tip(l.tip) != ref {
		draft.moved = l.tip
		l.bench.placed(func() { l.bench.desk.PutTip(l.tip, ref) })
	}
	l.takeTip(true)
	if l.bench.place(ref).Mains {
		l.panel.say(saidCaution, judge.MainsCaution)
	}
}

// focus marks what stands in the field, so that typing writes over it; when the
// caret goes, what is typed is taken.
func (l *lead) focus(came bool) {
	if came {
		l.bench.came([2]spot{session.Red: atRed, session.Black: atBlack}[l.tip])
		l.panel.choices.close()
		l.entry.Entry.TypedShortcut(&fyne.ShortcutSelectAll{})
		l.panel.hintAgain()
		return
	}
	if l.panel.choices.pointed() {
		return // the list is being clicked on
	}
	l.panel.choices.close()
	l.commit()
}

// resolve returns the terminal that a text names, with or without capitals and
// colon. The error names those that may have been meant.
func (b *Bench) resolve(text string) (model.TerminalRef, error) {
	machine := b.desk.Machine()
	ref, err := machine.FindTerminal(text)
	if err == nil {
		return ref, nil
	}
	if b.index == nil {
		return model.TerminalRef{}, err
	}
	if place, there := b.index.Exact(text); there {
		return place.Ref, nil
	}
	near := b.index.Near(text, 3)
	if len(near) == 0 {
		return model.TerminalRef{}, fmt.Errorf("no terminal %q; write DEVICE:TERMINAL, or words of its title, zone or wire, and take one from the list", text)
	}
	return model.TerminalRef{}, fmt.Errorf("no terminal %q; did you mean %s?", text, wording.Or(near))
}
