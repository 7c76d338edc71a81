package sheets

import (
	"context"
	"slices"

	"bellout/model"
	"bellout/model/wording"
)

// liveRow is something that is live with the plug out.
type liveRow struct {
	device model.Device
	why    string
	off    string
	rails  []string
}

var liveFields = []field[liveRow]{
	{Column{Name: "device", Mono: true, About: "What gives the power."}, text(func(r *liveRow) string { return r.device.Ref })},
	{Column{Name: "what", Wrap: true, About: "Its title."}, text(func(r *liveRow) string { return r.device.Title })},
	{Column{Name: "where", Wrap: true, About: "The zone that it is in."}, text(func(r *liveRow) string { return r.device.Zone })},
	{Column{Name: "why", Wrap: true, About: "Why it stays live."}, text(func(r *liveRow) string { return r.why })},
	{Column{Name: "off", Title: "how it is taken off", Wrap: true, About: "What takes it off."}, text(func(r *liveRow) string { return r.off })},
	{Column{Name: "rails", Title: "nets at its poles", Kind: List, Wrap: true, Below: "live: %s", About: "The nets that its rails and feeds are in, which stay live with it; those beyond fuses and contacts may too."}, list(func(r *liveRow) []string { return r.rails })},
}

// staysLive lists what the plug does not switch off.
func staysLive(_ context.Context, job Job) (*Table, error) {
	b := job.diagnosed().Analysis()
	staying := b.Staying()
	nets := b.AsDrawn.Nets()
	rows := make([]liveRow, 0, len(staying.Sources()))
	for i := range staying.Sources() {
		source := &staying.Sources()[i]
		device, _ := b.Machine.Device(source.Device)
		row := liveRow{device: device, why: "power of its own: fed from outside the map", off: staying.HowOff(source)}
		if source.Battery {
			row.why, row.off = "battery: always live", row.off+", as its maker says; insulate the ends"
		}
		for t, terminal := range b.Machine.Terminals {
			name := nets.Name(t)
			if terminal.Device == source.Device && (terminal.Role == model.RoleRail || terminal.Role == model.RoleFeed) && !slices.Contains(row.rails, name) {
				row.rails = append(row.rails, name)
			}
		}
		rows = append(rows, row)
	}
	counts := wording.Count(len(rows), "source")
	if len(rows) == 0 {
		counts = "the map knows of nothing, which is no proof"
	}
	t := newTable("stays_live", "What stays live with the plug out", counts, liveFields, rows)
	t.Caution = "Look for what the map does not know: second plugs, packs, a UPS, leads to machines with power of their own. Supplies hold charge after the plug is out: wait 5 minutes (common practice), then measure at their outputs, and go on below 10 V. The mains side is for licensed people."
	if plugs := staying.Plugs(); len(plugs) > 0 {
		t.Caution = "Every plug has to be out: " + wording.And(plugs) + ". " + t.Caution
	}
	t.ByHand = []string{"off, by"}
	return t, nil
}
