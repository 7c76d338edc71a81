package tables

import (
	"fmt"
	"strings"

	"bellout/model"
)

// WireColumns are the columns of wires.csv.
var WireColumns = []Column[model.Wire]{
	nameColumn("wire", func(w *model.Wire) *string { return &w.Name }),
	terminalColumn("from", func(w *model.Wire) *model.TerminalRef { return &w.From }),
	terminalColumn("to", func(w *model.Wire) *model.TerminalRef { return &w.To }),
	{
		Name: "colour",
		Parse: func(w *model.Wire, cell Cell) (err error) {
			w.Colour, err = model.ParseColour(cell.Text)
			return err
		},
		Print: func(w model.Wire) string { return string(w.Colour) },
	},
	{
		Name: "gauge",
		Parse: func(w *model.Wire, cell Cell) (err error) {
			if w.Gauge, err = model.ParseGauge(cell.pointed()); err != nil && strings.Contains(cell.Text, ",") {
				return fmt.Errorf("unknown gauge %q; write a decimal point, as in 0.75 mm2", cell.Text)
			}
			return err
		},
		Print: func(w model.Wire) string { return w.Gauge.String() },
	},
	numberColumn("length_m", func(w *model.Wire) *model.Optional { return &w.LengthMetres }),
	textColumn("cable", func(w *model.Wire) *string { return &w.Cable }),
	wordColumn("basis", model.BasisPlanned, func(w *model.Wire) *model.Basis { return &w.Basis }),
	{
		Name: "removed",
		Parse: func(w *model.Wire, cell Cell) (err error) {
			w.Removed, err = parseYesNo(cell.Text)
			return err
		},
		Print: func(w model.Wire) string { return printYesNo(w.Removed) },
	},
}
