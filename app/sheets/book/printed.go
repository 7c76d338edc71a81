package book

import (
	"cmp"
	"context"
	"strings"

	"bellout/app/sheets"
	"bellout/model"
)

// ofSheet is a kind of the book whose rows sheets works out for every form: only how
// they stand on a page is decided here.
func ofSheet(name string) kind {
	for _, of := range sheets.Sheets {
		if of.Name == name {
			return kind{name, of.Heading, of.Title, func(ctx context.Context, f *facts, s *Sheet) error {
				t, err := of.Table(ctx, sheets.Job{Title: f.job.Title, Printed: f.job.Now, Machine: f.machine(), Diagnosis: f.known, Wires: f.wires})
				if err != nil {
					return err
				}
				f.print(s, t)
				return nil
			}}
		}
	}
	panic("no sheet " + name)
}

// How much of a list stands in one row; a longer one goes on over rows, and so over
// pages.
const mostOfList = 900

// print sets a table of sheets on pages: heading, caution, note, rows, and columns to
// write into.
func (f *facts) print(s *Sheet, of *sheets.Table) {
	fl := newFlow(s, true)
	fl.heading(of.Title, 24)
	if of.Caution != "" {
		fl.caution(of.Caution + " " + f.bench.Staying().Everything())
	}
	fl.para(strings.TrimSpace(of.Counts+". "+of.Note), style{size: smallSize, colour: soft})
	t := &table{size: 2.3}
	var drawn []int
	for i, c := range of.Columns {
		if c.FilesOnly || c.NotDrawn {
			continue
		}
		drawn = append(drawn, i)
		set := column{title: strings.TrimSuffix(c.Heading(), " "+c.Unit), right: c.Kind == sheets.Number, mono: c.Mono, bold: len(drawn) == 1, most: 42}
		if c.Kind == sheets.List || c.Wrap {
			set.most = 110
		}
		t.columns = append(t.columns, set)
	}
	for _, title := range of.ByHand {
		t.columns = append(t.columns, column{title: title, fixed: 24})
	}
	chart := f.withChart && of.Wire != nil
	if chart {
		t.columns = append(t.columns, column{title: "chart", mono: true, fixed: lateWidth + 2*cellPad})
	}
	group := ""
	filled := make([]sheets.Cell, len(of.Columns))
	for i := range of.Len {
		if of.LeftOut != nil && of.LeftOut(i) {
			continue
		}
		if of.Group != nil && of.Group(i) != group {
			group = of.Group(i)
			t.head(group)
		}
		of.Fill(i, filled)
		rows := rowsOf(of, filled, drawn)
		for _, r := range rows {
			for range of.ByHand {
				r = append(r, cell{shade: true})
			}
			if chart {
				r = append(r, f.chartCell(of.Wire(i)))
			}
			t.add(r...)
		}
		if of.Wire != nil {
			t.rows[len(t.rows)-len(rows)].anchor = wireAnchor(of.Wire(i))
		}
	}
	fl.table(t)
}

// rowsOf is one row of a table of sheets, over several where a list is long.
func rowsOf(of *sheets.Table, filled []sheets.Cell, drawn []int) [][]cell {
	var rows [][]cell
	for to, from := range drawn {
		c, column := filled[from], of.Columns[from]
		texts := []string{cmp.Or(c.Drawn, c.Print(column))}
		switch column.Kind {
		case sheets.Number:
			texts[0] = cmp.Or(c.Drawn, withUnit(c.Number, column))
		case sheets.List:
			texts = lists(c.List, mostOfList)
		case sheets.Moment:
			texts[0], _, _ = strings.Cut(texts[0], "T") // the day will do
		}
		for at, text := range texts {
			if at == len(rows) {
				rows = append(rows, make([]cell, len(drawn)))
				if at > 0 {
					rows[at][0].text = rows[0][0].text + ", on"
				}
			}
			rows[at][to].text = text
		}
		if column.Swatch {
			rows[0][to].swatch = model.Colour(c.Text)
		}
		if c.Alarm {
			rows[0][to].bold, rows[0][to].colour = true, alarm
		}
	}
	return rows
}

// withUnit prints a number as it stands on paper; what was worked out in millivolts
// where it is small, and metres bare, since their heading is the unit.
func withUnit(n model.Optional, column sheets.Column) string {
	switch {
	case column.Unit == "" || column.Unit == column.Heading() || !n.Known:
		return n.String()
	case column.Unit == "V" && column.Computed:
		return milli(n.Value, true)
	case column.Unit == "ohm":
		return amount(n, "Ω")
	}
	return amount(n, column.Unit)
}

// lists joins names into texts of about so many letters, at least one text.
func lists(names []string, most int) []string {
	texts := []string{""}
	for _, name := range names {
		last := len(texts) - 1
		if texts[last] != "" && len(texts[last])+len(name) > most {
			texts, last = append(texts, ""), last+1
		}
		texts[last] = strings.TrimPrefix(texts[last]+" "+name, " ")
	}
	return texts
}
