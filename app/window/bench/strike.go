package bench

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/model"
)

// strike is the line under the list: what the chosen reading was, and the field
// for the reason for which it is struck out.
type strike struct {
	panel  *panel
	words  *look.Paragraph
	reason *keys.Entry
	title  *look.Paragraph
	field  *fyne.Container
	object *fyne.Container
}

func newStrike(p *panel) *strike {
	t := look.Now()
	s := &strike{panel: p, words: look.NewParagraph("", p.size.small, t.Soft, fyne.TextStyle{}), reason: keys.NewEntry(p.bench.room.Keys)}
	s.title = look.NewParagraph("", p.size.text, t.Ink, fyne.TextStyle{Bold: true})
	s.reason.SetPlaceHolder("why, as in: tip slipped; Enter strikes it out")
	s.reason.Passing = true // kept by the draft
	s.reason.OnFocus = func(came bool) {
		if came {
			p.bench.came(atReason)
		}
	}
	s.reason.OnChanged = func(text string) { p.bench.draft.reason = text }
	s.reason.OnSubmitted = func(string) { s.enter() }
	s.reason.OnKey = func(name fyne.KeyName) bool {
		if name != fyne.KeyEscape {
			return false
		}
		s.close()
		p.bench.giveBack()
		return true
	}
	s.field = container.New(&look.Rows{Gap: 2}, s.title, inType(s.reason, p.size.text))
	s.field.Hide()
	s.object = container.New(&look.Rows{Gap: 4}, s.words, s.field)
	return s
}

// open asks for the reason for striking out the chosen reading, or else the
// newest that stands.
func (s *strike) open() {
	b := s.panel.bench
	reading, there := b.desk.Machine().Reading(b.draft.chosen)
	if !there {
		reading, there = b.newestStanding()
	}
	switch {
	case !there:
		s.panel.say(saidHint, "No reading stands that could be struck out.")
		return
	case !reading.Stands():
		s.panel.say(saidHint, fmt.Sprintf("Reading %d is struck out already: %s.", reading.Number, reading.Struck))
		return
	}
	b.draft.striking = reading.Number
	s.ask()
	b.focus(s.reason)
}

func (s *strike) ask() {
	reading, _ := s.panel.bench.desk.Machine().Reading(s.panel.bench.draft.striking)
	s.title.Set(fmt.Sprintf("Strike out reading %d, %s", reading.Number, touchWords(reading)), look.Now().Ink)
	s.field.Show()
	s.panel.layAgain()
}

func (s *strike) close() {
	s.panel.bench.draft.striking, s.panel.bench.draft.reason = 0, ""
	s.reason.SetText("")
	if s.field.Visible() {
		s.field.Hide()
		s.panel.layAgain()
	}
}

func (s *strike) enter() {
	b := s.panel.bench
	reason := strings.TrimSpace(s.reason.Text)
	if reason == "" {
		s.panel.say(saidWrong, "A reading is struck out with a reason: write one, or press Esc and it stands.")
		return
	}
	number := b.draft.striking
	s.close()
	b.draft.chosen = 0
	s.panel.showChosen()
	s.panel.say(saidNothing, "")
	b.desk.Strike(number, reason)
	b.giveBack()
}

func (b *Bench) newestStanding() (newest model.Reading, there bool) {
	for _, reading := range b.desk.Machine().Readings {
		if reading.Stands() && reading.Number > newest.Number {
			newest, there = reading, true
		}
	}
	return newest, there
}
