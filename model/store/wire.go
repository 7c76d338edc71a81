package store

import (
	"fmt"

	"bellout/model"
)

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
					return fmt.Errorf("%w: %w", errCell, err)
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

func (w *writer) insertWire(wire model.Wire) error {
	return w.writeWire(wire, `INSERT INTO wires (wire, from_terminal, to_terminal, colour, gauge_awg, gauge_mm2, length_m, cable, basis, removed)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`)
}

func (w *writer) updateWire(wire model.Wire) error {
	return w.writeWire(wire, `UPDATE wires SET from_terminal = ?2, to_terminal = ?3, colour = ?4, gauge_awg = ?5, gauge_mm2 = ?6,
		length_m = ?7, cable = ?8, basis = ?9, removed = ?10 WHERE wire = ?1`)
}

func (w *writer) deleteWire(wire model.Wire) error {
	return w.c.execOne("DELETE FROM wires WHERE wire = ?", wire.Name)
}

func (w *writer) writeWire(wire model.Wire, statement string) error {
	from, to, err := w.ends(wire.From, wire.To)
	if err != nil {
		return err
	}
	var awg, mm2 any
	switch wire.Gauge.System {
	case model.GaugeAWG:
		awg = int64(wire.Gauge.AWG)
	case model.GaugeMetric:
		mm2 = wire.Gauge.AreaMM2
	}
	return w.c.execOne(statement, wire.Name, from, to, string(wire.Colour), awg, mm2,
		sqlNumber(wire.LengthMetres), wire.Cable, string(wire.Basis), wire.Removed)
}
