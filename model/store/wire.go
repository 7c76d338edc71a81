package store

import "bellout/model"

func loadWires(c *conn, refs map[int64]model.TerminalRef) ([]model.Wire, error) {
	count, err := c.number("SELECT count(*) FROM wires")
	if err != nil {
		return nil, err
	}
	list := make([]model.Wire, 0, count)
	colours := map[string]model.Colour{}
	err = c.each(`SELECT wire, from_terminal, to_terminal, colour, gauge_awg, gauge_mm2, length_m, cable, basis, removed
		FROM wires ORDER BY id`, 10, func(row *cells) error {
		wire := model.Wire{
			Name: row.name(0), From: row.end(1, refs), To: row.end(2, refs),
			Gauge: row.gauge(4, 5), LengthMetres: row.optional(6), Cable: row.note(7),
			Basis: word(row, 8, model.Bases), Removed: row.integer(9) != 0,
		}
		if code := row.text(3); code != "" {
			colour, met := colours[code]
			if !met {
				if colour, err = model.ParseColour(code); err != nil {
					return err
				}
				colours[code] = colour
			}
			wire.Colour = colour
		}
		list = append(list, wire)
		return nil
	})
	return list, err
}

func (c *cells) gauge(awg, mm2 int) model.Gauge {
	if !c.null(awg) {
		return model.Gauge{System: model.GaugeAWG, AWG: int(c.integer(awg))}
	}
	if area := c.optional(mm2); area.Known {
		return model.Gauge{System: model.GaugeMetric, AreaMM2: area.Value}
	}
	return model.Gauge{}
}

var (
	insertWireSQL = `INSERT INTO wires (wire, from_terminal, to_terminal, colour, gauge_awg, gauge_mm2, length_m, cable, basis, removed)
		VALUES (?1, ` + theTerminal(2, 3) + ", " + theTerminal(4, 5) + ", ?6, ?7, ?8, ?9, ?10, ?11, ?12)"
	updateWireSQL = "UPDATE wires SET from_terminal = " + theTerminal(2, 3) + ", to_terminal = " + theTerminal(4, 5) +
		`, colour = ?6, gauge_awg = ?7, gauge_mm2 = ?8, length_m = ?9, cable = ?10, basis = ?11, removed = ?12 WHERE wire = ?1`
)

func insertWire(c *conn, w model.Wire) error { return c.execOne(insertWireSQL, wireValues(w)...) }

func updateWire(c *conn, w model.Wire) error { return c.execOne(updateWireSQL, wireValues(w)...) }

func deleteWire(c *conn, w model.Wire) error {
	return c.execOne("DELETE FROM wires WHERE wire = ?", w.Name)
}

func wireValues(w model.Wire) []any {
	var awg, mm2 any
	switch w.Gauge.System {
	case model.GaugeAWG:
		awg = int64(w.Gauge.AWG)
	case model.GaugeMetric:
		mm2 = w.Gauge.AreaMM2
	}
	return []any{
		w.Name, w.From.Device, w.From.Mark, w.To.Device, w.To.Mark, string(w.Colour), awg, mm2,
		sqlNumber(w.LengthMetres), w.Cable, string(w.Basis), w.Removed,
	}
}
