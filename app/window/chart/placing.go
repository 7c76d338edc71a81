package chart

import (
	"context"
	"errors"
	"hash/maphash"

	"bellout/app/desk"
	"bellout/app/drawing"
	"bellout/app/window/chart/scene"
	"bellout/graphs/place"
	"bellout/model"
)

// stamp tells two machines apart that are drawn in different places: it does not
// change with a reading or with a device's health.
type stamp struct {
	path string
	sum  uint64
}

var seed = maphash.MakeSeed()

// stampOf sums over rows, whose order means nothing.
func stampOf(view desk.View) stamp {
	s := stamp{path: view.Path}
	m := view.Machine
	for _, d := range m.Devices {
		s.sum += maphash.Comparable(seed, [4]string{d.Ref, string(d.Kind), d.Title, d.Zone})
	}
	for _, t := range m.Terminals {
		s.sum += maphash.Comparable(seed, [3]string{t.Device, t.Mark, string(t.Role)})
	}
	for _, l := range m.Links {
		s.sum += maphash.Comparable(seed, [5]string{l.Device, l.From, l.To, string(l.Kind), string(l.State)})
	}
	for _, w := range m.Wires {
		if !w.Removed {
			s.sum += maphash.Comparable(seed, [4]string{w.Name, w.From.String(), w.To.String(), string(w.Colour)})
		}
	}
	for _, p := range m.Places {
		s.sum += maphash.Comparable(seed, p)
	}
	return s
}

// place works out where everything stands, beside everything else. The chart as
// it was stays until the new one is there; of two that are under way the older
// one is given up.
func (c *Chart) place() {
	view := c.room.Desk.View()
	want := stampOf(view)
	if c.task != nil {
		if c.placing == want {
			return
		}
		c.task.Stop()
		c.task = nil
	}
	if c.keep.plan != nil && c.keep.stamp == want {
		return
	}
	if c.keep.stamp.path != view.Path { // another file
		c.keep.plan, c.keep.whole, c.keep.stood = nil, true, map[string]place.Point{}
		c.scene = nil
		c.sheet.forget()
	}
	if len(view.Machine.Devices) == 0 {
		c.keep.plan, c.keep.stamp, c.scene = nil, want, nil
		c.sheet.forget()
		return
	}
	job := placement{machine: view.Machine, before: c.keep.plan, stood: c.keep.stood}
	var made *scene.Scene
	var task *desk.Task
	ended := false // a desk without a worker is done before Task returns
	task = c.room.Desk.Task("Placing the chart", func(ctx context.Context, progress func(done, of int)) error {
		plan, err := job.run(ctx, func(done float64, _ string) { progress(int(1000*done), 1000) })
		if err != nil {
			return err
		}
		made = scene.New(plan, view)
		return nil
	}, func(err error) {
		ended = true
		if task != nil && c.task != task {
			return // a newer one took its place
		}
		c.task = nil
		c.placed(made, want, err)
	})
	if !ended {
		c.task, c.placing = task, want
	}
}

// placed takes a plan that is ready.
func (c *Chart) placed(made *scene.Scene, of stamp, err error) {
	c.sheet.forget()
	switch {
	case errors.Is(err, context.Canceled):
		c.sheet.Refresh()
		c.room.Desk.Say("The chart stays as it was; it is placed with the next change of the map.")
		return
	case err != nil:
		c.room.Desk.Complain(err)
		return
	}
	first := c.keep.plan == nil
	c.keep.plan, c.keep.stamp = made.Plan, of
	c.scene = made.Look(c.room.Desk.View())
	if c.keep.whole && (first || c.room.Desk.Selection().Kind == desk.Nothing) {
		c.sheet.refit()
	}
	c.relight()
	c.sheet.redraw()
	c.say()
}

// placement is the work of placing a machine.
type placement struct {
	machine *model.Machine
	before  *place.Plan
	stood   map[string]place.Point
}

func (p placement) run(ctx context.Context, progress place.Progress) (*place.Plan, error) {
	options := place.Options{Measure: measure, Progress: progress, Previous: p.before}
	pinned, unknown := p.pins(p.before)
	options.Pinned = pinned
	plan, err := place.Compute(ctx, p.machine, options)
	if err != nil || !unknown {
		return plan, err
	}
	// A place in the file is the middle of a box, whose size is known only once it
	// was placed.
	options.Previous = plan
	options.Pinned, _ = p.pins(plan)
	return place.Compute(ctx, p.machine, options)
}

// pins are the upper left corners of the boxes that somebody put where they are.
// unknown is true where some of them are not in the plan, so that their size is
// not known.
func (p placement) pins(plan *place.Plan) (corners map[string]place.Point, unknown bool) {
	corners = map[string]place.Point{}
	pin := func(device string, middle place.Point) {
		if plan == nil {
			unknown = true
			return
		}
		at, there := plan.Box(device)
		if !there {
			unknown = true
			return
		}
		box := &plan.Boxes[at]
		corners[device] = place.Point{X: middle.X - (box.Max.X-box.Min.X)/2, Y: middle.Y - (box.Max.Y-box.Min.Y)/2}
	}
	for _, row := range p.machine.Places {
		if row.Pinned {
			pin(row.Device, place.Point{X: row.X, Y: row.Y})
		}
	}
	if plan == nil {
		return corners, unknown
	}
	// A box whose drag was taken back goes back to where it stood.
	for i := range plan.Boxes {
		box := &plan.Boxes[i]
		middle, was := p.stood[box.Device]
		if _, pinned := corners[box.Device]; box.Pinned && was && !pinned {
			if _, there := p.machine.Device(box.Device); there {
				pin(box.Device, middle)
			}
		}
	}
	return corners, unknown
}

func measure(text string, size float64, bold bool) float64 {
	if bold {
		return drawing.Measure(text, size, drawing.Bold)
	}
	return drawing.Measure(text, size, drawing.Regular)
}

// put stores where a box was dragged to: by its middle, in an edit that can be
// undone.
func (c *Chart) put(box int, by drawing.Point) {
	b := &c.scene.Plan.Boxes[box]
	middle := place.Point{X: (b.Min.X + b.Max.X) / 2, Y: (b.Min.Y + b.Max.Y) / 2}
	row := model.Place{Device: b.Device, X: middle.X + by.X, Y: middle.Y + by.Y, Pinned: true}
	change := model.Change{After: row}
	if before, there := placeOf(c.room.Desk.Machine(), b.Device); there {
		change.Before = before
		if !before.Pinned {
			c.keep.stood[b.Device] = middle
		}
	} else {
		c.keep.stood[b.Device] = middle
	}
	c.room.Desk.Do(model.Edit{What: b.Device + " moved on the chart", Changes: []model.Change{change}}, func(err error) {
		if err != nil {
			c.room.Desk.Complain(err)
			c.sheet.forget()
			c.sheet.Refresh()
		}
	})
}

func placeOf(m *model.Machine, device string) (model.Place, bool) {
	row, there := m.Row(model.TablePlace, device).(model.Place)
	return row, there
}
