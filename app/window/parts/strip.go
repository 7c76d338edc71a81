package parts

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"

	"bellout/app/listing"
	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/model"
)

// strip is under the table: a field for each column of the marked rows. What is
// written there goes into all of them.
type strip struct {
	place   *Place
	object  *fyne.Container
	content *fyne.Container
	said    *look.Paragraph
	fields  []*keys.Entry
	of      string // the rows that the fields are of
	asking  bool   // Delete was pressed once
}

func newStrip(p *Place) *strip {
	s := &strip{place: p, content: container.New(&look.Rows{Gap: 6}), said: look.SoftProse("")}
	edge := canvas.NewRectangle(look.Now().Line)
	edge.SetMinSize(fyne.NewSize(1, 1))
	s.object = container.NewBorder(edge, nil, nil, nil, container.New(layout.NewCustomPaddedLayout(8, 8, 14, 14), s.content))
	s.say("Click a row to edit it. Shift or Ctrl for several.", false)
	return s
}

func (s *strip) say(text string, bad bool) {
	colour := look.Now().Soft
	if bad {
		colour = look.Now().Bad
	}
	s.said.Set(text, colour)
	if len(s.content.Objects) == 0 {
		s.content.Add(s.said)
	}
	s.object.Refresh()
}

// several stands in a field whose column differs between the rows.
const several = "(several)"

// fill shows the fields for the rows that are marked.
func (s *strip) fill() {
	p := s.place
	rows := p.table.rows()
	of := ""
	for _, row := range rows {
		of += fmt.Sprintf("%s %s\n", row.Table(), row.ID())
	}
	gone, same := s.fields, of == s.of
	s.asking = false
	s.content.RemoveAll()
	s.fields, s.of = nil, of
	defer func() {
		come := s.fields
		if !same { // what was meant for other rows goes into none of these
			come = nil
		}
		if lost := keys.HandOver(gone, come); len(lost) > 0 {
			p.room.Session.Say("Not written: " + strings.Join(lost, ", ") + ". Enter writes a field into the marked rows, before other rows are marked.")
		}
	}()
	if len(rows) == 0 {
		s.say("Click a row to edit it. Shift or Ctrl for several.", false)
		return
	}
	t := look.Now()
	what := rows[0].ID()
	if len(rows) > 1 {
		what = fmt.Sprintf("%d rows", len(rows))
	}
	head := container.NewHBox(look.Line(what, t.Ink, theme.SizeNameText, fyne.TextStyle{Bold: true}), layout.NewSpacer())
	if rows[0].Table() != model.TableReading {
		head.Add(look.NewPress("Delete", "Del", s.askDelete))
	}
	head.Add(look.NewPress("On the chart", "Ctrl Shift G", p.lookAt))
	s.content.Add(head)
	if rows[0].Table() == model.TableReading {
		s.fillReadings(rows)
	} else {
		s.fillFields(rows)
	}
	s.say("Enter saves the field for all selected rows; Ctrl Z undoes it.", false)
	s.content.Add(s.said)
	s.object.Refresh()
}

func (s *strip) fillFields(rows []model.Row) {
	p := s.place
	fields := container.NewGridWithColumns(5)
	for column, name := range p.listing.Header {
		field := keys.NewEntry(p.room.Keys)
		field.Name = heading(name)
		text, same := s.common(rows, column)
		if same {
			field.SetText(text)
		} else {
			field.SetPlaceHolder(several)
		}
		field.OnSubmitted = func(text string) {
			field.Taken()
			s.write(name, text)
		}
		s.fields = append(s.fields, field)
		fields.Add(container.New(&look.Rows{Gap: 1}, caption(heading(name)), field))
	}
	s.content.Add(fields)
}

// common is the text that a column has in every one of the rows.
func (s *strip) common(rows []model.Row, column int) (text string, same bool) {
	p := s.place
	wanted := map[string]bool{}
	for _, row := range rows {
		wanted[row.ID()] = true
	}
	first := true
	for _, at := range p.places {
		if !wanted[p.listing.Row(at).ID()] {
			continue
		}
		cell := p.listing.Cells(at)[column]
		if !first && cell != text {
			return "", false
		}
		text, first = cell, false
	}
	return text, true
}

// write writes a text into a column of the marked rows.
func (s *strip) write(column, text string) {
	rows := s.place.table.rows()
	edit, err := listing.SetCells(rows, column, strings.TrimSpace(text))
	if err != nil {
		s.say(err.Error(), true)
		return
	}
	if len(edit.Changes) == 0 {
		s.say("It stands there already.", false)
		return
	}
	s.rename(edit)
	s.place.room.Session.Do(edit, func(err error) {
		if err != nil {
			s.say(err.Error(), true)
			return
		}
		s.place.table.focus()
	})
}

// rename keeps rows marked whose name is what was edited.
func (s *strip) rename(edit model.Edit) {
	for _, change := range edit.Changes {
		if before, after := change.Before.ID(), change.After.ID(); before != after && s.place.table.marked[before] {
			delete(s.place.table.marked, before)
			s.place.table.marked[after] = true
		}
	}
}

// askDelete says what a deletion takes with it; pressed again, it deletes.
func (s *strip) askDelete() {
	rows := s.place.table.rows()
	if len(rows) == 0 {
		return
	}
	edit, err := listing.Delete(s.place.room.Session.Machine(), rows)
	if err != nil {
		s.say(err.Error(), true)
		return
	}
	if more := len(edit.Changes) - len(rows); more > 0 && !s.asking {
		s.asking = true
		s.say(fmt.Sprintf("%d more rows hang on that and go with it (wires, links, readings). Press Delete again to do it; Ctrl Z takes it back.", more), true)
		return
	}
	s.place.room.Session.Do(edit, func(err error) {
		if err != nil {
			s.say(err.Error(), true)
			return
		}
		s.place.table.unmark()
		s.fill()
		s.place.table.focus()
	})
}

// fillReadings offers the one thing that can be done to a reading.
func (s *strip) fillReadings(rows []model.Row) {
	reason := keys.NewEntry(s.place.room.Keys)
	reason.SetPlaceHolder("why it does not stand, as in tip slipped")
	strike := func() {
		text := strings.TrimSpace(reason.Text)
		if text == "" {
			s.say("Write why; a reading is struck out with a reason, and stays in the file.", true)
			return
		}
		reason.Taken()
		for _, row := range rows {
			if r, ok := row.(model.Reading); ok && r.Stands() {
				s.place.room.Session.Strike(r.Number, text)
			}
		}
	}
	reason.OnSubmitted = func(string) { strike() }
	s.fields = append(s.fields, reason)
	s.content.Add(container.NewBorder(nil, nil, caption("strike out, because"), keys.NewButton(s.place.room.Keys, "Strike out", "Enter", strike), reason))
}

// focus puts the keyboard into the first field that is not the row's name.
func (s *strip) focus() {
	switch {
	case len(s.fields) > 1:
		s.place.focusOn(s.fields[1])
	case len(s.fields) == 1:
		s.place.focusOn(s.fields[0])
	}
}
