package window

import (
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"

	"bellout/app/session"
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
	columns := []*fyne.Container{container.New(&look.Rows{Gap: 2})}
	if w.window.Canvas().Size().Width >= leastKeyColumn*2*t.Scale() {
		columns = append(columns, container.New(&look.Rows{Gap: 2}))
	}
	filled := make([]int, len(columns))
	for _, heading := range headings {
		shortest := slices.Index(filled, slices.Min(filled))
		filled[shortest] += len(under[heading]) + 2
		columns[shortest].Add(look.Line(heading, t.Accent, theme.SizeNameSubHeadingText, fyne.TextStyle{Bold: true}))
		for _, action := range under[heading] {
			columns[shortest].Add(keyRow(action))
		}
		columns[shortest].Add(spaced())
	}
	grid := container.NewGridWithColumns(len(columns))
	for _, column := range columns {
		grid.Add(look.Inset(10, column))
	}
	list := container.NewVScroll(grid)
	list.SetMinSize(fyne.NewSize(0, list.Content.MinSize().Height)) // where there is room for all of it
	done := keys.NewButton(w.keys, "Close", "Esc", w.escape)
	card := container.NewBorder(
		container.NewHBox(look.Line("Every key", t.Ink, theme.SizeNameHeadingText, fyne.TextStyle{Bold: true}), layout.NewSpacer(), done),
		nil, nil, nil, list,
	)
	w.showCard(card, 980, nil)
	w.window.Canvas().Focus(done)
}

// leastKeyColumn is how wide a column of keys must be, in the smallest type.
const leastKeyColumn = 400

// keyRow is what an action does, in as many lines as it takes, and its key.
func keyRow(action *keys.Action) fyne.CanvasObject {
	words := look.Prose(action.Name)
	key := action.Key.String()
	if key == "" {
		return words
	}
	shown := look.KeyCap(key)
	return container.NewBorder(nil, nil, nil, container.NewBorder(shown, nil, nil, nil), words)
}

func (w *Window) lookAtNothing() {
	w.desk.Select(session.Selection{})
	if !w.bench.Focused() {
		w.focus()
	}
}
