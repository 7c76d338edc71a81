package bench

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"bellout/app/session"
	"bellout/app/window/bench/find"
	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/model"
)

// conditions are the chips of what was done to the machine, which stay until
// they are taken off, and the line that adds to them.
type conditions struct {
	panel *panel
	chips *fyne.Container
	line  *keys.Entry
	field fyne.CanvasObject
	list  []find.Suggestion
	shown string
}

func newConditions(p *panel) *conditions {
	c := &conditions{panel: p, chips: container.New(&look.Flow{Gap: 6}), line: keys.NewEntry(p.bench.room.Keys), shown: "?"}
	c.line.SetPlaceHolder("unplugged J4, lifted W12, open S1:1-2, clipped A:1 B:2")
	c.line.OnChanged = c.typed
	c.line.OnSubmitted = func(string) { c.enter() }
	c.line.OnKey = c.key
	c.line.Passing = true // kept by the draft
	c.line.OnFocus = func(came bool) {
		switch {
		case came:
			p.bench.came(atCondition)
			c.typed(c.line.Text)
		case !p.choices.pointed():
			p.choices.close()
			if c.line.Text == "" {
				c.close()
			}
		}
	}
	c.field = inType(c.line, p.size.text)
	c.field.Hide()
	return c
}

// show lays the chips anew, if what holds has changed.
func (c *conditions) show() {
	b := c.panel.bench
	held := b.desk.Conditions()
	back := b.desk.ToPutBack()
	key := held.String() + "|" + back.String()
	for _, condition := range held {
		key += fmt.Sprint(b.desk.HeldState(condition))
	}
	if b.blocked() != "" {
		key += "|off"
	}
	if key == c.shown {
		return
	}
	c.shown = key
	c.chips.RemoveAll()
	add := look.NewPress("Unplugged or lifted", "F9", func() { c.panel.openConditions() })
	if len(held) > 0 {
		add.Text = "Add"
	}
	add.Type = c.panel.size.text
	add.Off = b.blocked() != ""
	if len(held) == 0 && len(back) == 0 {
		c.chips.Add(add)
		c.chips.Add(newChip(c.panel.size, "everything plugged in, power off", false, nil))
		return
	}
	var last []fyne.CanvasObject
	for _, condition := range held {
		words, state := conditionWords(condition), b.desk.HeldState(condition)
		off := b.act(func() { b.removeCondition(condition) })
		switch state {
		case session.HeldToDo:
			c.chips.Add(newChip(c.panel.size, "to do: "+words, true, off).doubtful(look.SignFirst))
		case session.HeldLast:
			last = append(last, newChip(c.panel.size, words, true, off).doubtful(look.SignUnknown))
		default:
			c.chips.Add(newChip(c.panel.size, words, true, off))
		}
	}
	for _, condition := range back {
		c.chips.Add(newChip(c.panel.size, "put back: "+backWords(condition), true, nil).doubtful(look.SignFirst))
	}
	if len(last) > 0 {
		c.chips.Add(newChip(c.panel.size, "from last time; still so?", false, nil))
		for _, chip := range last {
			c.chips.Add(chip)
		}
		for _, press := range []*look.Press{look.NewPress("Still so", "F10", b.act(b.keepLast)), look.NewPress("Clear", "F11", b.act(b.clearLast))} {
			press.Type = c.panel.size.text
			c.chips.Add(press)
		}
	}
	c.chips.Add(add)
}

// removeCondition takes a condition off. That by itself is no new touch: the
// proposal stays in view.
func (b *Bench) removeCondition(condition model.Condition) {
	same := b.noted() == b.draft.logged
	if same {
		kept := model.Conditions{}
		for _, other := range b.desk.Conditions() {
			if other.String() != condition.String() {
				kept = append(kept, other)
			}
		}
		now := touch{tips: [2]model.TerminalRef{b.desk.Tip(0), b.desk.Tip(1)}, conditions: kept}
		b.draft.logged = now.key()
	}
	b.desk.RemoveCondition(condition)
}

func (c *conditions) open() {
	c.panel.bench.draft.adding = true
	c.field.Show()
	c.panel.layAgain()
	c.panel.bench.focus(c.line)
}

func (c *conditions) close() {
	c.panel.bench.draft.adding, c.panel.bench.draft.condition = false, ""
	if c.field.Visible() {
		c.field.Hide()
		c.panel.layAgain()
	}
}

func (c *conditions) typed(text string) {
	b := c.panel.bench
	b.draft.condition = text
	c.panel.say(saidNothing, "")
	c.list = nil
	last := text
	before := ""
	if at := strings.LastIndex(text, ";"); at >= 0 {
		before, last = text[:at+1]+" ", strings.TrimLeft(text[at+1:], " ")
	}
	if b.index != nil {
		c.list = b.index.Conditions(last, mostChoices)
	}
	items := make([]choice, 0, len(c.list))
	for _, suggestion := range c.list {
		if suggestion.Text != last {
			items = append(items, choice{suggestion.Text, suggestion.Where})
		}
	}
	c.panel.choices.show(items, func(at int) {
		text := before + items[at].text
		c.line.SetText(text)
		b.focus(c.line)
		if !strings.HasSuffix(text, " ") && !strings.HasPrefix(items[at].text, string(model.Clipped)) {
			c.panel.choices.close()
			c.enter()
		}
	})
}

func (c *conditions) key(name fyne.KeyName) bool {
	list := c.panel.choices
	switch name {
	case fyne.KeyDown, fyne.KeyUp:
		if !list.open() {
			c.typed(c.line.Text)
			return true
		}
		by := 1
		if name == fyne.KeyUp {
			by = -1
		}
		list.step(by)
		return true
	case fyne.KeyBackspace:
		held := c.panel.bench.desk.Conditions()
		if c.line.Text == "" && len(held) > 0 {
			c.panel.bench.removeCondition(held[len(held)-1])
			return true
		}
	case fyne.KeyEscape:
		if list.open() {
			list.close()
			return true
		}
		c.line.SetText("")
		c.close()
		c.panel.bench.giveBack()
		return true
	}
	return false
}

// enter takes the marked suggestion where what is typed is not whole yet, and
// else adds what is typed.
func (c *conditions) enter() {
	b := c.panel.bench
	text := strings.TrimSpace(c.line.Text)
	if text == "" {
		c.close()
		b.giveBack()
		return
	}
	machine := b.desk.Machine()
	if _, err := machine.ParseConditions(text); err != nil {
		last := text[strings.LastIndex(text, ";")+1:]
		_, unfinished := machine.ParseConditions(last)
		if at, open := c.panel.choices.chosen(); open && unfinished != nil {
			c.panel.choices.take(at)
			return
		}
		c.panel.say(saidWrong, err.Error())
		return
	}
	if err := b.desk.AddConditions(text); err != nil {
		c.panel.say(saidWrong, err.Error())
		return
	}
	c.panel.choices.close()
	c.line.SetText("")
	c.panel.choices.close()
	c.close()
	c.panel.say(saidNothing, "")
	b.giveBack()
}
