package bench

import (
	"fmt"
	"strings"

	"bellout/app/session"
	"bellout/model"
)

// What is typed into the wrong field is known for what it is, and goes to where
// it belongs: a value is never a place, and a place never a value.

// isValue is true of what a meter shows, with nothing beside it. A word such as open is
// one only where nothing on the map is called so.
func (b *Bench) isValue(text string) bool {
	entry, err := session.ReadEntry(text)
	if err != nil || entry.Note != "" {
		return false
	}
	text = strings.TrimSpace(text)
	word := entry.Value.Kind != model.ShowsNumber && len(text) > 2 && !strings.EqualFold(text, entry.Value.String())
	return !word || b.index == nil || len(b.index.Query(text, 1)) == 0
}

// handOver puts a value that was typed into a lead's field where it belongs, and
// the field shows again where the tip is. It is false where the text is no value.
func (l *lead) handOver() bool {
	text := strings.TrimSpace(l.entry.Text)
	if !l.bench.draft.edited[l.tip] || !l.bench.isValue(text) {
		return false
	}
	l.panel.choices.close()
	l.takeTip(true)
	value := l.panel.value
	if held := strings.TrimSpace(value.Text); held != "" && held != text {
		l.panel.say(saidCaution, fmt.Sprintf("“%s” is a reading, not a place; SHOWS holds “%s” already. Nothing is stored.", text, held))
		return true
	}
	value.SetText(text)
	l.panel.say(saidCaution, fmt.Sprintf("“%s” is a reading, not a place: it stands under SHOWS now, for %s. %s", text, l.bench.tipsWords(), l.bench.whatEnterStores(l.bench.touch())))
	return true
}

// tipsWords say where the tips are noted.
func (b *Bench) tipsWords() string {
	var words [2]string
	for tip := range words {
		words[tip] = tipWords[tip].name + " nowhere yet"
		if ref := b.desk.Tip(session.Tip(tip)); ref != (model.TerminalRef{}) {
			words[tip] = tipWords[tip].name + " " + ref.String()
		}
	}
	return words[session.Red] + ", " + words[session.Black]
}

// exact returns the terminal that a text names, capitals and colon aside, and
// nothing that it only may mean.
func (b *Bench) exact(text string) (model.TerminalRef, bool) {
	if ref, err := b.desk.Machine().FindTerminal(text); err == nil {
		return ref, true
	}
	if b.index != nil {
		if place, there := b.index.Exact(text); there {
			return place.Ref, true
		}
	}
	return model.TerminalRef{}, false
}

// tipFor is the tip that a place belongs to which is typed for the value: the one that
// is missing, else the black one while a touch is under way. It is false where both tips
// are where the last reading was: the place may begin another pair.
func (b *Bench) tipFor() (tip session.Tip, sure bool) {
	switch nowhere := (model.TerminalRef{}); {
	case b.desk.Tip(session.Red) == nowhere:
		return session.Red, true
	case b.desk.Tip(session.Black) == nowhere, b.noted() != b.draft.logged:
		return session.Black, true
	}
	return session.Black, false
}

// takePlace puts the tip that is missing, or else the black one, where a terminal is
// that was typed for the value; it asks where both tips are still noted for the last
// reading. It is false where none is named.
func (b *Bench) takePlace(text string) bool {
	ref, there := b.exact(text)
	if !there {
		return false
	}
	tip, sure := b.tipFor()
	if !sure {
		b.panel.say(saidCaution, fmt.Sprintf("“%s” is a place: of which tip? Ctrl L puts red there, Ctrl K black. The last reading was from %s to %s.", text, b.desk.Tip(session.Red), b.desk.Tip(session.Black)))
		return true
	}
	before := ""
	if was := b.desk.Tip(tip); was != (model.TerminalRef{}) && was != ref {
		before = fmt.Sprintf(" It was on %s; red stays on %s.", was, b.desk.Tip(session.Red))
	}
	b.panel.value.SetText("")
	b.panel.leads[tip].put(ref)
	b.panel.say(saidCaution, fmt.Sprintf("“%s” is a place, not a reading: the %s tip is noted there.%s Now what the meter shows.", text, tipWords[tip].name, before))
	return true
}

// completed notes that what was typed is not what the tip was put on.
func (l *lead) completed(typed string, ref model.TerminalRef) {
	typed = strings.TrimSpace(typed)
	if typed == "" {
		return
	}
	if same, there := l.bench.exact(typed); there && same == ref {
		return
	}
	l.bench.draft.completed[l.tip] = typed
}

// sayCompleted says it where the eye is.
func (l *lead) sayCompleted() {
	typed := l.bench.draft.completed[l.tip]
	if typed == "" || l.bench.place(l.bench.desk.Tip(l.tip)).Mains {
		return
	}
	ref := l.bench.desk.Tip(l.tip)
	l.panel.say(saidCaution, fmt.Sprintf("“%s” was completed: the %s tip is on %s, %s.", typed, tipWords[l.tip].name, ref, l.bench.place(ref).Where()))
	l.panel.showBoard()
}
