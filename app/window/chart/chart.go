// Package chart is the place where the nets are seen: a sheet that is panned,
// zoomed, pointed at and walked over from the keyboard, with a line under it that
// says what lies under the pointer. What it looks like is package scene's affair,
// what stands where package place's.
package chart

import (
	"fmt"
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"

	"bellout/app/drawing"
	"bellout/app/session"
	"bellout/app/window/chart/scene"
	"bellout/app/window/look"
	"bellout/app/window/room"
)

// Chart is the place.
type Chart struct {
	room   *room.Room
	keep   *kept
	scene  *scene.Scene // nil until something is placed
	sheet  *sheet
	finder *finder
	hint   *canvas.Text
	scale  *canvas.Text
	legend *look.Press
	over   *fyne.Container // the sheet, and the finder in its corner
	object fyne.CanvasObject

	lit     *scene.Lit
	paths   session.Highlight // upstream of the device that is selected, if it failed
	mine    bool              // the selection that is being told of was made on the sheet
	task    *session.Task     // that places the machine; nil
	placing stamp             // what it places
}

// New makes the place.
func New(r *room.Room) room.Place {
	c := &Chart{room: r, keep: keptIn(r.Memory), lit: &scene.Lit{}}
	t := look.Now()
	c.hint = look.Line("", t.Ink, theme.SizeNameText, fyne.TextStyle{})
	c.scale = look.Line("", t.Soft, theme.SizeNameCaptionText, fyne.TextStyle{Monospace: true})
	c.scale.Alignment = fyne.TextAlignTrailing
	c.sheet = newSheet(c)
	c.finder = newFinder(c)
	c.addActions()

	c.legend = look.NewPress("Legend", "Ctrl 2", c.toggleLegend)
	bar := container.New(&look.Flow{Gap: 4},
		look.NewPress("Find", "Ctrl F", c.find), look.NewPress("Fit all", "Ctrl 0", c.fit),
		look.NewPress("Fit selection", "Ctrl 1", c.toSelection), c.legend,
	)
	under := container.New(layout.NewCustomPaddedLayout(3, 4, 10, 10), container.NewBorder(nil, nil, nil, container.New(&fixedWidth{width: 64}, c.scale), container.New(&oneLine{then: c.say}, c.hint)))
	c.over = container.New(&corner{width: 380}, c.sheet, c.finder.object)
	c.object = container.New(look.Above{}, container.New(layout.NewCustomPaddedLayout(4, 4, 8, 10), bar), c.over, look.Ground(t.Ground, under))
	r.Listen(c.changed)
	c.resume()
	return c
}

// Name is the place's name.
func (c *Chart) Name() string { return room.Chart }

// Object is what the window shows.
func (c *Chart) Object() fyne.CanvasObject { return c.object }

// Focus puts the keyboard on the sheet.
func (c *Chart) Focus() { c.focus(c.sheet) }

func (c *Chart) focus(what fyne.Focusable) {
	if c.room.Canvas == nil {
		return
	}
	if on := c.room.Canvas(); on != nil {
		on.Focus(what)
	}
}

// resume shows what was there before the place was made anew.
func (c *Chart) resume() {
	view := c.room.Session.View()
	if c.keep.plan != nil && c.keep.stamp.path == view.Path {
		c.scene = scene.New(c.keep.plan, view)
	}
	c.place()
	c.relight()
	c.say()
}

// changed follows the desk.
func (c *Chart) changed(what session.Changed) {
	if what.Has(session.File | session.Map) {
		c.place()
	}
	if what.Has(session.File | session.Map | session.Readings | session.Findings) {
		if c.scene != nil {
			c.scene = c.scene.Look(c.room.Session.View())
		}
	}
	if what.Has(session.File | session.Map | session.Findings | session.Selected) {
		c.trace()
		c.relight()
	}
	if what.Has(session.Selected) && !c.mine {
		c.reveal()
	}
	if what.Has(session.Tips) && c.room.Session.Offered() != nil {
		c.toTips()
	}
	if what.Has(session.File | session.Map | session.Readings | session.Findings | session.Proposal | session.Selected | session.Tips) {
		c.sheet.redraw()
		c.say()
	}
}

// relight works out what stands out.
func (c *Chart) relight() {
	if c.scene == nil {
		c.lit = &scene.Lit{}
		return
	}
	c.lit = c.scene.Light(c.room.Session.Selection(), c.highlight())
}

// highlight is what another place brought out, else the paths of the failed
// device that is selected.
func (c *Chart) highlight() session.Highlight {
	if h := c.room.Session.Highlight(); !h.Empty() {
		return h
	}
	return c.paths
}

// choose selects something from the sheet: it is in sight already.
func (c *Chart) choose(what session.Selection) {
	c.mine = true
	c.room.Session.Select(what)
	c.mine = false
}

// say writes the line under the sheet: what the pointer is over, else what is
// selected, else how to begin.
func (c *Chart) say() {
	text := fitted(c.hint, c.words())
	if c.hint.Text != text {
		c.hint.Text = text
		c.hint.Refresh()
	}
	scale := ""
	if c.scene != nil {
		w, h := c.sheet.extent()
		if shown := c.sheet.showsLegend(c.sheet.frame(w, h)); c.legend.Chosen != shown {
			c.legend.Chosen = shown
			c.legend.Refresh()
		}
		scale = fmt.Sprintf("%d %%", int(math.Round(100*c.keep.camera.Scale)))
	}
	if c.scale.Text != scale {
		c.scale.Text = scale
		c.scale.Refresh()
	}
}

func (c *Chart) words() string {
	if c.scene == nil {
		if c.task != nil {
			return "The chart is being placed."
		}
		return ""
	}
	if hover := c.sheet.hover.Selection(); hover.Kind != session.Nothing {
		text := c.scene.Describe(hover)
		if hover.Kind == session.Terminal {
			text += " · click: red tip, Shift click: black tip"
		}
		return text
	}
	if selection := c.room.Session.Selection(); selection.Kind != session.Nothing {
		text := c.scene.Describe(selection)
		if h := c.highlight(); h.What != "" {
			what := h.What
			if key := c.lit.Key(); key != "" {
				what += ": " + key
			}
			text = what + " · " + text
		}
		switch selection.Kind {
		case session.Terminal:
			text += " · Enter: red tip, Shift Enter: black tip, arrows: neighbours"
		case session.Device, session.Wire, session.Net:
			text += " · Enter: its terminals, arrows: neighbours, Tab: next"
		}
		return text
	}
	if h := c.highlight(); h.What != "" { // another place brings it out
		return h.What
	}
	return "Click a point: red tip. Shift-click: black tip. Drag to pan, wheel to zoom. Enter: by keyboard."
}

// tip puts a tip on a terminal that is named.
func (c *Chart) tip(tip session.Tip, terminal string) {
	if ref, ok := scene.Terminal(terminal); ok {
		c.room.Session.PutTip(tip, ref)
	}
}

// point is a place on the sheet.
func point(p fyne.Position) drawing.Point {
	return drawing.Point{X: float64(p.X), Y: float64(p.Y)}
}
