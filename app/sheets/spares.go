package sheets

import (
	"context"
	"fmt"
	"slices"

	"bellout/model"
	"bellout/model/wording"
)

// spareRow is a device with points that no wire is on.
type spareRow struct {
	device model.Device
	free   []string
	of     int
}

// spareKinds are the devices whose free points are of use.
var spareKinds = []model.DeviceKind{model.KindConnector, model.KindTerminalBlock, model.KindSplice, model.KindFuse, model.KindBreaker, model.KindController, model.KindDriver, model.KindSupply, model.KindConverter, model.KindHub}

var spareFields = []field[spareRow]{
	{Column{Name: "device", Mono: true, About: "The device."}, text(func(r *spareRow) string { return r.device.Ref })},
	{Column{Name: "what", Wrap: true, About: "Its title."}, text(func(r *spareRow) string { return r.device.Title })},
	{Column{Name: "kind", About: "Its kind."}, text(func(r *spareRow) string { return string(r.device.Kind) })},
	{Column{Name: "where", Wrap: true, About: "The zone that it is in."}, text(func(r *spareRow) string { return r.device.Zone })},
	{Column{Name: "spare", Kind: Number, About: "How many of its terminals have no wire."}, number(func(r *spareRow) model.Optional { return model.Known(float64(len(r.free))) })},
	{Column{Name: "of", Kind: Number, About: "How many terminals it has on the map."}, number(func(r *spareRow) model.Optional { return model.Known(float64(r.of)) })},
	{Column{Name: "terminals", Kind: List, Wrap: true, Mono: true, About: "Those without a wire."}, list(func(r *spareRow) []string { return r.free })},
}

// spares lists where a new wire would find a place.
func spares(_ context.Context, job Job) (*Table, error) {
	m := job.Machine.Sorted()
	wired := map[model.TerminalRef]bool{}
	for _, w := range m.Wires {
		if !w.Removed {
			wired[w.From], wired[w.To] = true, true
		}
	}
	var rows []spareRow
	count := 0
	for _, d := range m.Devices {
		if !slices.Contains(spareKinds, d.Kind) {
			continue
		}
		row := spareRow{device: d}
		for _, mark := range m.Marks(d.Ref) {
			row.of++
			if !wired[model.TerminalRef{Device: d.Ref, Mark: mark}] {
				row.free = append(row.free, mark)
			}
		}
		if len(row.free) > 0 {
			rows, count = append(rows, row), count+len(row.free)
		}
	}
	t := newTable("spares", "Spares", fmt.Sprintf("%s without a wire on %s", wording.Count(count, "terminal"), wording.Count(len(rows), "device")), spareFields, rows)
	t.Caution = "No wire on the map is no proof that there is none, and a point without a wire may be live from inside: measure it before you use it."
	t.ByHand = []string{"used for"}
	return t, nil
}
