package store

import "bellout/model"

func loadPlaces(c *conn) (list []model.Place, err error) {
	err = c.each("SELECT d.device, p.x, p.y, p.pinned FROM places p JOIN devices d ON d.id = p.device ORDER BY p.device", 4, func(row *cells) error {
		list = append(list, model.Place{Device: row.name(0), X: row.real(1), Y: row.real(2), Pinned: row.integer(3) != 0})
		return nil
	})
	return list, err
}

const devicePlaceSQL = "(SELECT id FROM devices WHERE device = ?1)"

func (w *writer) insertPlace(p model.Place) error {
	return w.c.execOne("INSERT INTO places (device, x, y, pinned) VALUES ("+devicePlaceSQL+", ?2, ?3, ?4)", p.Device, p.X, p.Y, p.Pinned)
}

func (w *writer) updatePlace(p model.Place) error {
	return w.c.execOne("UPDATE places SET x = ?2, y = ?3, pinned = ?4 WHERE device = "+devicePlaceSQL, p.Device, p.X, p.Y, p.Pinned)
}

func (w *writer) deletePlace(p model.Place) error {
	return w.c.execOne("DELETE FROM places WHERE device = "+devicePlaceSQL, p.Device)
}
