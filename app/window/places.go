package window

import (
	"bellout/app/window/chart"
	"bellout/app/window/findings"
	"bellout/app/window/parts"
	"bellout/app/window/room"
	"bellout/app/window/sheets"
)

// newPlaces makes every place, in the order of their tabs.
func newPlaces(r *room.Room) []room.Place {
	return []room.Place{chart.New(r), findings.New(r), parts.New(r), sheets.New(r)}
}
