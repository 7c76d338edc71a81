package chart

import (
	"fyne.io/fyne/v2"

	"bellout/app/drawing"
	"bellout/app/session"
	"bellout/app/window/chart/scene"
	"bellout/app/window/keys"
	"bellout/app/window/room"
)

// group is the heading under which the list of keys shows the chart's.
const group = "Chart"

func (c *Chart) addActions() {
	able := func() bool { return c.scene != nil }
	for _, action := range []keys.Action{
		{Name: "Find on the chart", Key: keys.Ctrl(fyne.KeyF), Do: c.find, Able: able},
		{Name: "Show all of the chart", Key: keys.Ctrl(fyne.Key0), Do: c.fit, Able: able},
		{Name: "Show the selection on the chart", Key: keys.Ctrl(fyne.Key1), Do: c.toSelection, Able: able},
		{Name: "Show or hide the chart's legend", Key: keys.Ctrl(fyne.Key2), Do: c.toggleLegend, Able: able},
	} {
		action.Group = group
		c.room.Keys.Add(action)
	}
}

func (c *Chart) show() {
	if c.room.Show != nil {
		c.room.Show(room.Chart)
	}
}

// fit shows all of it.
func (c *Chart) fit() {
	c.show()
	c.keep.whole = true
	c.sheet.refit()
	c.sheet.redraw()
	c.say()
}

// nearest is how large a thing is shown at most when it is brought into sight.
const nearest = 1.5

// toSelection zooms to what stands out.
func (c *Chart) toSelection() {
	c.show()
	if c.scene == nil {
		return
	}
	box, there := c.scene.LitBounds(c.lit)
	if !there {
		c.room.Session.Say("Nothing is selected on the chart.")
		return
	}
	width, height := c.sheet.extent()
	c.look(scene.Fitted(box, width, height, 40, nearest))
}

// reveal brings what was selected elsewhere into sight, and moves nothing if it
// is seen already.
func (c *Chart) reveal() {
	if c.scene == nil {
		return
	}
	if box, there := c.scene.Place(c.room.Session.Selection()); there {
		c.bring(box)
	}
}

// toTips brings into sight where a proposed probe that was just taken puts the
// tips.
func (c *Chart) toTips() {
	if c.scene == nil {
		return
	}
	red, one := c.scene.Port(c.room.Session.Tip(session.Red).String())
	black, other := c.scene.Port(c.room.Session.Tip(session.Black).String())
	if one && other {
		const aside = 50 // so that the pointers are seen, too
		c.bring(around(red, black, aside))
	}
}

// leastSheet is how large a sheet must be for something to be brought into sight
// on it; a smaller one is not laid out yet, and shows the whole chart when it is.
const leastSheet = 100

// bring brings a part of the chart into sight.
func (c *Chart) bring(box drawing.Box) {
	width, height := c.sheet.extent()
	if width < leastSheet || height < leastSheet || inside(box, c.keep.camera.Seen(width, height)) {
		return
	}
	camera := c.keep.camera
	fitted := scene.Fitted(box, width, height, 40, nearest)
	if fitted.Scale > camera.Scale { // it has room at this scale: only move
		fitted = camera.CentredOn(drawing.Point{X: (box.Min.X + box.Max.X) / 2, Y: (box.Min.Y + box.Max.Y) / 2}, width, height)
	}
	c.look(fitted)
}

// inside says that a box lies within another one.
func inside(box, of drawing.Box) bool {
	return box.Min.X >= of.Min.X && box.Max.X <= of.Max.X && box.Min.Y >= of.Min.Y && box.Max.Y <= of.Max.Y
}

// look moves the camera by hand: the chart is not kept whole any more.
func (c *Chart) look(camera scene.Camera) {
	if camera == c.keep.camera {
		return
	}
	c.keep.camera, c.keep.whole = camera, false
	c.sheet.hover = noHit // what the pointer is over now, its next move tells
	c.sheet.redraw()
	c.say()
}

func (c *Chart) toggleLegend() {
	c.show()
	c.keep.legend, c.keep.decided = !c.legend.Chosen, true
	c.sheet.redraw()
	c.say()
}

func (c *Chart) find() {
	c.show()
	if c.scene != nil {
		c.finder.open()
	}
}

// found selects a match and puts it in the middle of what the finder leaves in
// sight.
func (c *Chart) found(selection session.Selection) {
	c.choose(selection)
	box, there := c.scene.Place(selection)
	if !there {
		return
	}
	width, height := c.sheet.extent()
	hidden := 0.0
	if finder := c.finder.object; finder.Visible() {
		hidden = float64(finder.Position().Y + finder.Size().Height)
	}
	if hidden > height/2 { // nothing is left under it; what is found shows at its side
		hidden = 0
	}
	camera := scene.Fitted(box, width, height-hidden, 60, nearest)
	if camera.Scale > c.keep.camera.Scale && c.keep.camera.Scale > 0.8 {
		camera.Scale = c.keep.camera.Scale
		camera = camera.CentredOn(drawing.Point{X: (box.Min.X + box.Max.X) / 2, Y: (box.Min.Y + box.Max.Y) / 2}, width, height-hidden)
	}
	camera = camera.Panned(0, hidden)
	c.look(camera)
}
