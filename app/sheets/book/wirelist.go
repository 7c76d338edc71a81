package book

import (
	"context"
	"fmt"
	"strings"

	"bellout/app/sheets"
	"bellout/model/wording"
)

// makeWireList prints every wire from end to end: what it is, where it goes, what
// it carries and how far it is to be trusted.
func makeWireList(_ context.Context, f *facts, s *Sheet) error {
	fl := newFlow(s, true)
	count := map[sheets.Status]int{}
	for i := range f.wires {
		count[f.wires[i].Status]++
	}
	words := fmt.Sprintf("%s: %d proven by readings", wording.Count(len(f.wires), "wire"), count[sheets.StatusProven])
	for _, status := range []sheets.Status{sheets.StatusContradicted, sheets.StatusProbed, sheets.StatusSeen, sheets.StatusJoined, sheets.StatusPlanned, sheets.StatusRemoved} {
		if count[status] > 0 {
			words += fmt.Sprintf(", %d %s", count[status], status)
		}
	}
	fl.heading("Wire list", 20)
	fl.para(words+". Current: the whole machine on, every load drawing its load_a. Drop: of this wire alone, not the way back. Measured: the latest standing reading from end to end, leads taken off.", style{size: smallSize, colour: soft})
	columns := []column{
		{title: "wire", bold: true, mono: true, most: 34}, {title: "from", mono: true, most: 42}, {title: "to", mono: true, most: 42},
		{title: "colour", least: 13}, {title: "gauge"}, {title: "m", right: true}, {title: "cable", most: 24}, {title: "net", most: 30}, {title: "fuse", most: 26},
		{title: "carries", right: true}, {title: "drop", right: true}, {title: "measured", right: true}, {title: "status"},
	}
	if f.withChart {
		columns = append(columns, column{title: "chart", mono: true, fixed: lateWidth + 2*cellPad})
	}
	t := &table{columns: columns, size: 2.3}
	for i := range f.wires {
		w := &f.wires[i]
		fuse := strings.Join(w.Fuses, " ")
		if w.FuseAmps.Known {
			fuse += " " + amount(w.FuseAmps, "A")
		}
		row := []cell{
			say(w.Name), say(w.From.String()), say(w.To.String()), {text: string(w.Colour), swatch: w.Colour}, say(w.Gauge.String()), say(w.LengthMetres.String()), say(w.Cable),
			say(w.Net), say(fuse), say(amount(w.CurrentAmps, "A")), say(milli(w.DropVolts.Value, w.DropVolts.Known)), say(amount(w.MeasuredOhms, "Ω")), say(string(w.Status)),
		}
		if w.Status == sheets.StatusContradicted {
			row[12].bold, row[12].colour = true, alarm
		}
		if f.withChart {
			row = append(row, f.chartCell(w.Name))
		}
		t.add(row...)
		t.rows[len(t.rows)-1].anchor = wireAnchor(w.Name)
	}
	fl.table(t)
	return nil
}

// milli prints small volts in millivolts.
func milli(volts float64, known bool) string {
	switch {
	case !known:
		return ""
	case volts < 1 && volts > -1:
		return figure(volts*1000, "mV")
	}
	return figure(volts, "V")
}
