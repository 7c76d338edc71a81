package parts

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bellout/app/listing"
	"bellout/app/window/keys"
	"bellout/app/window/look"
)

// paste reads rows from the clipboard, and shows them before anything is done.
func (p *Place) paste() {
	text := fyne.CurrentApp().Clipboard().Content()
	if strings.TrimSpace(text) == "" {
		p.strip.say("There is nothing to paste: copy rows in a spreadsheet first.", true)
		return
	}
	preview, err := listing.Paste(p.room.Session.Machine(), tabs[p.tab].table, text)
	if err != nil {
		p.strip.say(err.Error(), true)
		return
	}
	p.preview(preview)
}

// copyRows puts the marked rows on the clipboard, with their heads, as a
// spreadsheet takes them.
func (p *Place) copyRows() {
	var text strings.Builder
	text.WriteString(strings.Join(p.listing.Header, "\t") + "\n")
	count := 0
	for _, at := range p.places {
		if !p.table.marked[p.listing.Row(at).ID()] {
			continue
		}
		count++
		cells := make([]string, 0, len(p.listing.Header))
		for _, cell := range p.listing.Cells(at) {
			if strings.ContainsAny(cell, "\t\n\"") {
				cell = `"` + strings.ReplaceAll(cell, `"`, `""`) + `"`
			}
			cells = append(cells, cell)
		}
		text.WriteString(strings.Join(cells, "\t") + "\n")
	}
	if count == 0 {
		return
	}
	fyne.CurrentApp().Clipboard().SetContent(text.String())
	p.room.Session.Say(fmt.Sprintf("%d rows copied.", count))
}

// preview shows pasted rows with each bad cell, in the place of the table.
func (p *Place) preview(preview listing.Preview) {
	t := look.Now()
	words := fmt.Sprintf("%d rows for %s", len(preview.Lines), tabs[p.tab].name)
	under := "Nothing is on the map yet."
	if preview.Bad > 0 {
		under = fmt.Sprintf("%d of them cannot be taken, so none is: mend them in the spreadsheet and copy again.", preview.Bad)
	}
	back := func() {
		p.middle.Objects = []fyne.CanvasObject{p.table.object}
		p.middle.Refresh()
		p.table.focus()
	}
	take := keys.NewButton(p.room.Keys, "Add them", "Enter", func() {
		edit, err := preview.Edit()
		if err != nil {
			p.strip.say(err.Error(), true)
			return
		}
		p.room.Session.Do(edit, func(err error) {
			if err != nil {
				p.strip.say(err.Error(), true)
				return
			}
			back()
		})
	})
	take.Primary, take.Off = preview.Bad == 0, preview.Bad > 0
	leave := keys.NewButton(p.room.Keys, "Cancel", "", back)
	head := container.NewHBox(look.Line(words, t.Ink, theme.SizeNameSubHeadingText, fyne.TextStyle{Bold: true}), container.NewCenter(look.Caption(under)), layout.NewSpacer(), take, leave)
	list := widget.NewList(func() int { return len(preview.Lines) }, func() fyne.CanvasObject { return newPasted(preview.Header) }, func(at widget.ListItemID, object fyne.CanvasObject) {
		object.(*pasted).fill(at, preview.Lines[at])
	})
	list.HideSeparators = true
	p.middle.Objects = []fyne.CanvasObject{container.NewBorder(head, nil, nil, nil, list)}
	p.middle.Refresh()
	if preview.Bad > 0 {
		p.focusOn(leave)
	} else {
		p.focusOn(take)
	}
}

// pasted is one pasted row: its cells, and under them what is wrong.
type pasted struct {
	widget.BaseWidget
	header []string
	number *canvas.Text
	sign   *fyne.Container
	cells  *canvas.Text
	wrong  *canvas.Text
}

func newPasted(header []string) *pasted {
	t := look.Now()
	p := &pasted{
		header: header, sign: container.NewStack(),
		number: look.Line("", t.Soft, theme.SizeNameText, fyne.TextStyle{Monospace: true}),
		cells:  look.Line("", t.Ink, theme.SizeNameText, fyne.TextStyle{}),
		wrong:  look.Line("", t.Bad, theme.SizeNameText, fyne.TextStyle{Bold: true}),
	}
	p.ExtendBaseWidget(p)
	return p
}

func (p *pasted) fill(at int, line listing.Line) {
	p.number.Text = fmt.Sprintf("%4d", at+1)
	p.cells.Text = look.Cut(strings.Join(line.Cells, "   "), 900, p.cells.TextSize, p.cells.TextStyle)
	sign, wrong := look.SignFound, ""
	if line.Replaces() {
		wrong = "replaces the row of that name"
	}
	if !line.OK() {
		sign, wrong = look.SignRefused, line.Problem
		for column, text := range line.Wrong {
			if text != "" && column < len(p.header) {
				wrong = p.header[column] + ": " + text
				break
			}
		}
	}
	p.wrong.Color = look.Now().Soft
	if !line.OK() {
		p.wrong.Color = look.Now().Bad
	}
	p.wrong.Text = look.Cut(wrong, 900, p.wrong.TextSize, p.wrong.TextStyle)
	p.sign.Objects = []fyne.CanvasObject{sign.Image(18)}
	p.Refresh()
}

// CreateRenderer draws it.
func (p *pasted) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(container.NewBorder(nil, nil, container.NewHBox(container.NewCenter(p.number), container.NewCenter(p.sign)), nil, container.New(&look.Rows{}, p.cells, p.wrong)))
}
