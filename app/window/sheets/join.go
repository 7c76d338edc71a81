package sheets

import (
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
	"bellout/model/merge"
)

// join is the page on which another copy's work comes in: its conflicts, each with
// both values, and what was chosen.
type join struct {
	place  *Place
	object fyne.CanvasObject
	path   *keys.Entry
	wrong  *look.Paragraph
	rows   *fyne.Container
	scroll *container.Scroll
	open   *joinOpen
}

// joinOpen is a merge that is being decided; it outlives the place.
type joinOpen struct {
	joining *session.Joining
	chosen  map[string]merge.Choice
	at      int
}

const (
	joinMemory     = "Sheets.join"
	joinPathMemory = "Sheets.joinPath"
)

func newJoin(p *Place) *join {
	j := &join{place: p, wrong: look.BadProse(""), rows: container.New(&look.Rows{Gap: 6})}
	j.wrong.Hide()
	j.path = keys.NewEntry(p.room.Keys)
	j.path.Passing = true // a path is looked for, and stays there
	j.path.SetPlaceHolder("the other copy, as in stick/lock-anna.bellout")
	if text, ok := p.room.Memory[joinPathMemory].(string); ok {
		j.path.SetText(text)
	}
	j.path.OnChanged = func(text string) { p.room.Memory[joinPathMemory] = text }
	j.path.OnSubmitted = func(string) { j.look() }
	line := container.NewBorder(nil, nil, container.NewCenter(look.Caption("The other copy")), keys.NewButton(p.room.Keys, "Look at it", "Enter", j.look), j.path)
	head := container.New(&look.Rows{Gap: 7}, heading("The work of another laptop"),
		look.SoftProse("Readings of both are kept; what only one changed is as that one left it. What both changed is listed, and you choose. Nothing is changed before you merge; then it is one edit, which can be taken back. The other copy is not written to."),
		line, j.wrong)
	j.scroll = container.NewVScroll(padded(j.rows))
	j.object = container.NewBorder(padded(head), nil, nil, nil, j.scroll)
	if kept, ok := p.room.Memory[joinMemory].(*joinOpen); ok {
		j.open = kept
	}
	j.fill()
	return j
}

func (j *join) focusPath() { j.place.focusOn(j.path) }

func (j *join) forget() {
	j.open = nil
	delete(j.place.room.Memory, joinMemory)
	j.fill()
}

func (j *join) look() {
	path := withHome(strings.TrimSpace(j.path.Text))
	if path == "" {
		j.tell(errors.New("write the path of the other copy first"))
		return
	}
	j.place.room.Session.AskJoin(path, func(found *session.Joining, err error) {
		j.tell(err)
		if err != nil {
			return
		}
		kept := map[string]merge.Choice{}
		if j.open != nil && j.open.joining.Path == path { // what was chosen stays chosen
			kept = j.open.chosen
		}
		j.open = &joinOpen{joining: found, chosen: kept}
		j.place.room.Memory[joinMemory] = j.open
		j.fill()
	})
}

func (j *join) tell(err error) {
	if err == nil {
		j.wrong.Hide()
	} else {
		j.wrong.Set(err.Error(), look.Now().Bad)
		j.wrong.Show()
	}
	j.object.Refresh()
}

func (j *join) deciding() bool { return j.open != nil && len(j.open.joining.Conflicts) > 0 }

// ready is true where every conflict is decided.
func (j *join) ready() bool { return j.open != nil && j.left() == 0 }

func (j *join) left() int {
	left := 0
	for _, c := range j.open.joining.Conflicts {
		if _, decided := j.open.chosen[c.Key]; !decided {
			left++
		}
	}
	return left
}

// take chooses a side of the conflict that is looked at, and goes on to the next
// that is open.
func (j *join) take(word string) {
	if !j.deciding() {
		return
	}
	c := j.open.joining.Conflicts[j.open.at]
	choice, err := changes.ParseChoice(word)
	if err == nil && choice == merge.Both && !c.Both {
		err = fmt.Errorf("%s: one row cannot be as both have it; take mine or theirs", c.Key)
	}
	j.tell(err)
	if err != nil {
		return
	}
	j.open.chosen[c.Key] = choice
	for i := range j.open.joining.Conflicts {
		next := (j.open.at + 1 + i) % len(j.open.joining.Conflicts)
		if _, decided := j.open.chosen[j.open.joining.Conflicts[next].Key]; !decided {
			j.open.at = next
			break
		}
	}
	j.fill()
}

func (j *join) step(by int) {
	if !j.deciding() {
		return
	}
	of := len(j.open.joining.Conflicts)
	j.open.at = (j.open.at + by + of) % of
	j.fill()
}

func (j *join) merge() {
	if !j.ready() {
		return
	}
	path := j.open.joining.Path
	j.place.room.Session.Join(path, j.open.chosen, func(_ string, rows int, err error) {
		j.tell(err)
		if err != nil {
			return
		}
		if j.forget(); rows == 0 {
			j.place.room.Session.Say("Nothing came: this file has all that the other one has.")
			return
		}
		j.place.room.Session.Say(fmt.Sprintf("Merged as one edit: %d rows came or changed.", rows))
	})
}

func (j *join) fill() {
	j.rows.RemoveAll()
	defer j.rows.Refresh()
	if j.open == nil {
		return
	}
	left := j.left()
	words := fmt.Sprintf("%d conflicts, %d to be decided.", len(j.open.joining.Conflicts), left)
	switch len(j.open.joining.Conflicts) {
	case 0:
		words = "No conflict: all of it can come."
	case 1:
		words = map[bool]string{true: "1 conflict, decided.", false: "1 conflict, to be decided."}[left == 0]
	}
	merging := keys.NewButton(j.place.room.Keys, "Merge", "Ctrl Shift J", j.merge)
	merging.Primary, merging.Off = left == 0, left > 0
	j.rows.Add(container.NewHBox(merging, container.NewCenter(look.Line(words, look.Now().Ink, theme.SizeNameText, fyne.TextStyle{Bold: true}))))
	for i, c := range j.open.joining.Conflicts {
		j.rows.Add(j.card(i, c))
	}
}

// card shows a conflict with both values.
func (j *join) card(at int, c changes.Conflict) fyne.CanvasObject {
	t := look.Now()
	here := at == j.open.at
	choice, decided := j.open.chosen[c.Key]
	button := func(word, key string, of merge.Choice) *look.Press {
		if !here {
			key = ""
		}
		press := look.NewPress(word, key, func() {
			j.open.at = at
			j.take(changes.ChoiceWord(of))
		})
		press.Chosen = decided && choice == of
		return press
	}
	title := look.Line(c.Name+": "+c.Reason, t.Ink, theme.SizeNameText, fyne.TextStyle{Bold: true})
	side := func(press *look.Press, words string) fyne.CanvasObject {
		return container.NewBorder(nil, nil, press, nil, container.New(&look.Rows{}, look.Gap(6), look.Prose(words)))
	}
	rows := container.New(&look.Rows{Gap: 4}, title, side(button("Mine", "Ctrl Shift M", merge.Mine), c.Mine), side(button("Theirs", "Ctrl Shift Y", merge.Theirs), c.Theirs))
	if c.Both {
		rows.Add(side(button("Both", "Ctrl Shift E", merge.Both), "mine, and theirs under a name of its own"))
	}
	card := look.Card(look.Inset(8, rows))
	if here {
		return look.Ground(t.Accent, container.NewPadded(card))
	}
	return container.NewPadded(card)
}
