package window

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"

	"bellout/app/desk"
	"bellout/app/window/keys"
	"bellout/app/window/look"
)

// listKeys shows every action with its key, under its heading.
func (w *Window) listKeys() {
	t := look.Now()
	var headings []string
	under := map[string][]*keys.Action{}
	for _, action := range w.keys.Actions() {
		if under[action.Group] == nil {
			headings = append(headings, action.Group)
		}
		under[action.Group] = append(under[action.Group], action)
	}
	columns := []*fyne.Container{container.NewVBox(), container.NewVBox()}
	filled := []int{0, 0}
	for _, heading := range headings {
		shorter := 0
		if filled[1] < filled[0] {
			shorter = 1
		}
		filled[shorter] += len(under[heading]) + 2
		columns[shorter].Add(look.Line(heading, t.Accent, theme.SizeNameSubHeadingText, fyne.TextStyle{Bold: true}))
		for _, action := range under[heading] {
			row := container.NewHBox(look.Line(action.Name, t.Ink, theme.SizeNameText, fyne.TextStyle{}), layout.NewSpacer())
			if key := action.Key.String(); key != "" {
				row.Add(container.NewCenter(look.KeyCap(key)))
			}
			columns[shorter].Add(row)
		}
		columns[shorter].Add(spaced())
	}
	list := container.NewVScroll(container.NewGridWithColumns(2, look.Inset(10, columns[0]), look.Inset(10, columns[1])))
	list.SetMinSize(fyne.NewSize(0, list.Content.MinSize().Height)) // where there is room for all of it
	done := keys.NewButton(w.keys, "Close", "Esc", w.escape)
	card := container.NewBorder(
		container.NewHBox(look.Line("Every key", t.Ink, theme.SizeNameHeadingText, fyne.TextStyle{Bold: true}), layout.NewSpacer(), done),
		nil, nil, nil, list,
	)
	w.overlay.show(card, 980, nil)
	w.window.Canvas().Focus(done)
}

func (w *Window) lookAtNothing() {
	w.desk.Select(desk.Selection{})
	w.focus()
}
