package chart

import (
	"context"

	"bellout/app/session"
	"bellout/faults"
	"bellout/model"
)

// trace works out the upstream paths of the selected device, if it failed. Where
// another place brings something out, that is shown instead.
func (c *Chart) trace() {
	selection := c.room.Session.Selection()
	device, _ := c.room.Session.Machine().Device(selection.Name)
	if selection.Kind != session.Device || device.Health != model.HealthFailed {
		c.paths = session.Highlight{}
		return
	}
	what := "upstream of " + device.Ref
	if c.paths.What != what {
		c.paths = session.Highlight{}
	}
	session.Ask(c.room.Session, "chart: upstream", func(_ context.Context, view session.View) *faults.TraceResult {
		result, err := faults.Trace(view.Machine, device.Ref)
		if err != nil { // the device went meanwhile: nothing is brought out
			return &faults.TraceResult{}
		}
		return result
	}, func(result *faults.TraceResult) {
		if c.room.Session.Selection() != selection {
			return
		}
		c.paths = session.Highlight{What: what}
		for _, path := range result.Paths {
			c.paths.Strands = append(c.paths.Strands, session.Strand{Kind: string(path.Kind), Terminals: path.Through, Wires: path.Wires})
		}
		c.relight()
		c.sheet.redraw()
		c.say()
	})
}
