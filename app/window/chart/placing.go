package chart

import (
	"context"
	"errors"
	"hash/maphash"

	"bellout/app/drawing"
	"bellout/app/session"
	"bellout/app/window/chart/scene"
	"bellout/graphs/layout"
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
func stampOf(view session.View) stamp {
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
	view := c.room.Session.View()
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
		c.keep.plan, c.keep.whole, c.keep.past = nil, true, nil
		c.scene = nil
		c.sheet.forget()
	}
	if len(view.Machine.Devices) == 0 {
		c.keep.plan, c.keep.stamp, c.scene = nil, want, nil
		c.sheet.forget()
		return
	}
	was, before := c.keep.past.of(want), c.keep.plan
	var made *scene.Scene
	var task *session.Task
	ended := false // a desk without a worker is done before Task returns
	task = c.room.Session.Task("Placing the chart", func(ctx context.Context, progress func(done, of int)) error {
		plan := was
		if plan == nil {
			var err error
			plan, err = layout.Arrange(ctx, view.Machine, layout.Options{
				Measure: measure, Previous: before, Progress: func(done float64, _ string) { progress(int(1000*done), 1000) },
			})
			if err != nil {
				return err
			}
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
	switch {
	case errors.Is(err, context.Canceled):
		c.sheet.forget()
		c.sheet.Refresh()
		c.room.Session.Say("The chart stays as it was; it is placed with the next change of the map.")
		return
	case err != nil:
		c.sheet.forget()
		c.room.Session.Complain(err)
		return
	}
	first := c.keep.plan == nil
	c.keep.plan, c.keep.stamp = made.Plan, of
	c.keep.past.add(of, made.Plan)
	c.scene = made.Look(c.room.Session.View())
	c.sheet.replaced()
	if c.keep.whole && (first || c.room.Session.Selection().Kind == session.Nothing) {
		c.sheet.refit()
	}
	c.relight()
	c.sheet.redraw()
	c.say()
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
	change := model.Change{After: model.Place{Device: b.Device, X: (b.Min.X+b.Max.X)/2 + by.X, Y: (b.Min.Y+b.Max.Y)/2 + by.Y, Pinned: true}}
	if before, there := placeOf(c.room.Session.Machine(), b.Device); there {
		change.Before = before
	}
	edit := model.Edit{What: b.Device + " moved on the chart", Changes: []model.Change{change}}
	c.room.Session.Do(edit, func(err error) {
		if err != nil {
			c.room.Session.Complain(err)
			c.sheet.forget()
			c.sheet.Refresh()
		}
	})
}

func placeOf(m *model.Machine, device string) (model.Place, bool) {
	row, there := m.Row(model.TablePlace, device).(model.Place)
	return row, there
}
