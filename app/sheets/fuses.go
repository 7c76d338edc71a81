package sheets

import (
	"context"
	"slices"

	"bellout/faults"
	"bellout/graphs"
	"bellout/model"
	"bellout/model/wording"
)

// fuseRow is a fuse or breaker with what it feeds.
type fuseRow struct {
	model.Link
	device   model.Device
	feeds    []string // loads whose nearest fuse it is
	amps     model.Optional
	wires    []string // whose nearest it is, on the way there
	thinnest string   // of those of known size
}

var fuseFields = []field[fuseRow]{
	{Column{Name: "fuse", Mono: true, About: "The fuse or breaker, as DEVICE:FROM-TO."}, text(func(r *fuseRow) string { return r.Place() })},
	{Column{Name: "what", Wrap: true, About: "Its title."}, text(func(r *fuseRow) string { return r.device.Title })},
	{Column{Name: "where", Wrap: true, About: "The zone that it is in."}, text(func(r *fuseRow) string { return r.device.Zone })},
	{Column{Name: "size_a", Title: "size A", Kind: Number, Unit: "A", About: "Its amperes; empty where the map does not know them."}, number(func(r *fuseRow) model.Optional { return r.Value })},
	{Column{Name: "feeds", Kind: List, Wrap: true, Mono: true, About: "The devices that it is the nearest fuse of."}, list(func(r *fuseRow) []string { return r.feeds })},
	{Column{Name: "carries_a", Title: "carries A", Kind: Number, Unit: "A", Computed: true, About: "The sum of their load_a; empty where one of them is not known."}, number(func(r *fuseRow) model.Optional { return r.amps })},
	{Column{Name: "thinnest", Title: "thinnest wire", Below: "thinnest wire %s", About: "The thinnest wire on the way there whose size is known, with that size."}, text(func(r *fuseRow) string { return r.thinnest })},
	{Column{Name: "wires", Kind: List, Wrap: true, Mono: true, Below: "wires %s", About: "The wires that it is the nearest fuse of; a return counts with the fuses of its loads."}, list(func(r *fuseRow) []string { return r.wires })},
}

// fuseChart says of each fuse what goes dark when it blows.
func fuseChart(_ context.Context, job Job) (*Table, error) {
	b := job.diagnosed().Analysis()
	m := b.Machine
	at := map[int]*fuseRow{} // by place in Links
	for i, link := range m.Links {
		if link.Kind == model.LinkFuse {
			device, _ := m.Device(link.Device)
			at[i] = &fuseRow{Link: link, device: device}
		}
	}
	duties := b.Duties()
	thin := map[int]float64{}
	for i, duty := range duties {
		wire := m.Wires[i]
		for _, fuse := range duty.Fuses {
			row := at[fuse]
			row.wires = append(row.wires, wire.Name)
			if mm2 := graphs.AreaMM2(wire.Gauge); mm2 > 0 && (row.thinnest == "" || mm2 < thin[fuse]) {
				row.thinnest, thin[fuse] = wire.Name+" "+wire.Gauge.String(), mm2
			}
		}
	}
	for _, load := range b.Parts.Loads {
		fuse := feedFuse(b, duties, load.Feed)
		row := at[fuse]
		if row == nil || load.Device == row.Device {
			continue
		}
		if len(row.feeds) == 0 {
			row.amps = model.Known(0)
		}
		if !slices.Contains(row.feeds, load.Device) {
			row.feeds = append(row.feeds, load.Device)
		}
		row.amps = model.Optional{Known: row.amps.Known && load.Amps.Known, Value: row.amps.Value + load.Amps.Value}
	}
	rows := make([]fuseRow, 0, len(at))
	for _, row := range at {
		if !row.amps.Known {
			row.amps = model.Optional{}
		}
		slices.SortFunc(row.wires, model.Compare)
		slices.SortFunc(row.feeds, model.Compare)
		rows = append(rows, *row)
	}
	slices.SortFunc(rows, func(a, b fuseRow) int { return model.Compare(a.Place(), b.Place()) })
	t := newTable("fuses", "Fuse chart", wording.Count(len(rows), "fuse"), fuseFields, rows)
	t.Caution = "Plug out before a fuse comes out or goes in. Read the size on the fuse itself; a blown one is replaced by the same size, never by a larger one, and only once it is known why it blew. Fuses of the mains are for licensed people."
	t.ByHand = []string{"seen, A"}
	return t, nil
}

// feedFuse is the fuse nearest upstream of a feed, by the wires on it; -1: none.
func feedFuse(b *faults.Analysis, duties []faults.Duty, feed int) int {
	for _, id := range b.AsDrawn.Incident(feed) {
		if int(id) < len(duties) && len(duties[id].Fuses) == 1 {
			return duties[id].Fuses[0]
		}
	}
	return -1
}
