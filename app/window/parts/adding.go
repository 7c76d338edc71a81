package parts

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"

	"bellout/app/quickadd"
	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/model"
)

// adding is the line that adds a device, a wire, or a template of one's own.
type adding struct {
	place  *Place
	object *fyne.Container
	field  *keys.Entry
	hint   *look.Paragraph
	added  string // what was added last, while the hint says so
}

// follow ends what the hint says of an addition that was taken back, or that
// something else came after.
func (a *adding) follow() {
	if a.added != "" && a.place.room.Session.View().Undo != a.added {
		a.added = ""
		a.suggest()
	}
}

const addHint = "A device: F1 fuse 2A \"fuse: lamps\" in cabinet.  A wire: G1:+ F1:1 RD 0.75mm2 1.2m.  A template of your own: template \"gate relay\" from K1."

func newAdding(p *Place) *adding {
	a := &adding{place: p, field: keys.NewEntry(p.room.Keys), hint: look.SoftProse(addHint)}
	a.field.SetPlaceHolder("one line: what to add")
	a.field.OnChanged = func(text string) {
		if text != "" {
			a.added = ""
		}
		if a.added == "" {
			a.suggest()
		}
	}
	a.field.OnSubmitted = func(string) { a.submit() }
	a.field.OnKey = func(key fyne.KeyName) bool {
		if key == fyne.KeyDown && strings.TrimSpace(a.field.Text) == "" {
			p.table.focus()
			return true
		}
		return false
	}
	add := keys.NewButton(p.room.Keys, "Add", "Enter", a.submit)
	add.Primary = true
	title := look.Line("Add", look.Now().Ink, theme.SizeNameSubHeadingText, fyne.TextStyle{Bold: true})
	head := container.NewHBox(title, container.NewCenter(look.KeyCap("Ctrl Shift A")), layout.NewSpacer())
	a.object = container.New(&look.Rows{Gap: 4}, head, container.NewBorder(nil, nil, nil, add, a.field), a.hint)
	return a
}

// begin puts the beginning of a line into the field.
func (a *adding) begin(line string) {
	a.field.SetText(line)
	a.suggest()
}

// suggest says how the line goes on: the template's own example once it is
// named, the names of templates before.
func (a *adding) suggest() {
	text := a.field.Text
	words := strings.Fields(text)
	t := look.Now()
	switch {
	case len(words) == 0:
		a.hint.Set(addHint, t.Soft)
	case strings.Contains(words[0], ":"):
		a.hint.Set("A wire: "+quickadd.WireForm, t.Soft)
	case words[0] == "template":
		a.hint.Set(`A template of your own: template "gate relay" from K1`, t.Soft)
	case len(words) == 1 && !strings.HasSuffix(text, " "):
		a.hint.Set("The reference, then one of: "+strings.Join(names(a.place.room.Session.Machine(), ""), ", "), t.Soft)
	default:
		a.hint.Set(a.about(strings.Join(words[1:], " ")), t.Soft)
	}
	a.object.Refresh()
}

// about is the example of the template that was named, or the templates that
// begin with what was typed.
func (a *adding) about(begun string) string {
	machine := a.place.room.Session.Machine()
	for _, template := range quickadd.Templates(machine) {
		if begun == template.Name || strings.HasPrefix(begun, template.Name+" ") {
			if template.Hint == "" {
				return "One of your own templates: " + template.Name
			}
			return "As in: " + template.Hint
		}
	}
	if list := names(machine, begun); len(list) > 0 {
		return "One of: " + strings.Join(list, ", ")
	}
	return "No template begins with " + begun + "; there are " + strings.Join(names(machine, ""), ", ")
}

func names(m *model.Machine, begin string) []string {
	var list []string
	for _, template := range quickadd.Templates(m) {
		if strings.HasPrefix(template.Name, begin) {
			list = append(list, template.Name)
		}
	}
	return list
}

// submit adds what the line says. What cannot be read stays as it was typed,
// with the reason under it.
func (a *adding) submit() {
	line := strings.TrimSpace(a.field.Text)
	if line == "" {
		return
	}
	edit, err := a.read(line)
	if err != nil {
		a.wrong(err)
		return
	}
	a.place.room.Session.Do(edit, func(err error) {
		if err != nil {
			a.wrong(err)
			return
		}
		a.field.SetText("")
		a.added = edit.What
		a.hint.Set(edit.What+". It is marked below.", look.Now().Good)
		a.place.reveal(edit.Changes[0].After)
		a.object.Refresh()
		a.place.focusOn(a.field)
	})
}

func (a *adding) read(line string) (model.Edit, error) {
	machine := a.place.room.Session.Machine()
	first, rest, _ := strings.Cut(line, " ")
	switch {
	case first == "template":
		return quickadd.OwnTemplate(machine, rest)
	case first == "wire":
		edit, _, err := quickadd.Wire(machine, rest)
		return edit, err
	case strings.Contains(first, ":"):
		edit, _, err := quickadd.Wire(machine, line)
		return edit, err
	}
	return quickadd.Device(machine, line)
}

func (a *adding) wrong(err error) {
	a.hint.Set(err.Error(), look.Now().Bad)
	a.object.Refresh()
	a.place.focusOn(a.field)
}
