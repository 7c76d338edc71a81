package changes

import (
	"encoding/csv"
	"io"

	"bellout/model/tables"
)

// WriteCSV writes what joins where, one row a wire. A text that a spreadsheet would
// run as a formula stands with an apostrophe in front.
func (r *Replacement) WriteCSV(to io.Writer) error {
	w := csv.NewWriter(to)
	rows := [][]string{{"terminal", "role", "wire", "colour", "gauge", "cable", "other_end", "which_is", "net", "net_kind", "expect_v", "against"}}
	for _, j := range r.Joints {
		rows = append(rows, []string{j.Terminal, j.Role, j.Wire, j.Colour, j.Gauge, j.Cable, j.Other, j.At, j.Net, j.NetKind, j.Volts.String(), j.Against})
	}
	for i, row := range rows {
		for at := range row {
			if i > 0 && at != 10 { // volts are a number, a minus in front of them too
				row[at] = tables.Guard(row[at])
			}
		}
		if err := w.Write(row); err != nil {
			return err
		}
	}
	w.Flush()
	return w.Error()
}
