package window

import (
	"image/color"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"

	"bellout/app/session"
	"bellout/app/window/keys"
	"bellout/app/window/look"
)

// opening is the card over everything while a file is opened that takes longer
// than a person would wait without asking: how far it is, and how to stop it.
// What lies under it, the card of files too, is there again afterwards.
type opening struct {
	object *fyne.Container
	window *Window
	task   *session.Task
	share  *shareBar
	words  *canvas.Text
	halt   *keys.Button
	before fyne.Focusable // what had the keyboard
	stop   func()         // ends the wait for the next look
}

// lookEvery is after what time the card shows anew how far it is.
const lookEvery = 100 * time.Millisecond

func newOpening(w *Window) *opening {
	o := &opening{object: container.NewStack(), window: w, stop: func() {}}
	o.object.Hide()
	w.room.Listen(func(what session.Changed) {
		if what.Has(session.Tasks) {
			o.watch(patience)
		}
	})
	w.stops = append(w.stops, func() { o.stop() })
	return o
}

// watch follows the file that is being opened, if one is.
func (o *opening) watch(wait time.Duration) {
	task := o.window.openingTask()
	if task == o.task {
		return
	}
	o.stop()
	o.task = task
	if task == nil {
		o.hide()
		return
	}
	o.stop = o.window.desk.After(wait, o.show)
}

// openingTask is the file that is being opened; nil if none is.
func (w *Window) openingTask() *session.Task {
	for _, task := range w.desk.Tasks() {
		if task.Opening {
			return task
		}
	}
	return nil
}

func (o *opening) show() {
	t, w := look.Now(), o.window
	o.share = newShareBar()
	o.words = look.Line("", t.Soft, theme.SizeNameText, fyne.TextStyle{})
	o.halt = keys.NewButton(w.keys, "Stop", "Esc", o.task.Stop)
	rows := container.NewVBox(
		look.Line(o.task.Name, t.Ink, theme.SizeNameHeadingText, fyne.TextStyle{Bold: true}), spaced(),
		o.share.object, o.words, spaced(),
		container.NewHBox(o.halt, layout.NewSpacer()),
	)
	veil := canvas.NewRectangle(color.NRGBA{R: t.Sunken.R, G: t.Sunken.G, B: t.Sunken.B, A: 190})
	ground := canvas.NewRectangle(t.Raised)
	ground.StrokeColor, ground.StrokeWidth, ground.CornerRadius = t.Accent, 1.5, 5
	o.object.Objects = []fyne.CanvasObject{veil, container.New(&column{width: 560}, container.NewStack(ground, look.Inset(18, rows)))}
	o.before = w.window.Canvas().Focused()
	o.object.Show()
	o.tell()
	o.object.Refresh()
	w.window.Canvas().Refresh(o.object) // the toolkit knows the canvas of what it painted once, and no key was pressed
	w.window.Canvas().Focus(o.halt)
	o.stop = w.desk.After(lookEvery, o.again)
}

func (o *opening) again() {
	o.tell()
	o.stop = o.window.desk.After(lookEvery, o.again)
}

func (o *opening) tell() {
	done, of := o.task.Progress()
	o.words.Text = "Reading what the file holds"
	if of > 0 {
		o.words.Text = percent(done, of)
	}
	o.words.Refresh()
	o.share.set(done, of)
}

// hide puts the card away; who had the keyboard before has it again, unless the
// file came.
func (o *opening) hide() {
	if !o.up() {
		return
	}
	canvas := o.window.window.Canvas()
	came := canvas.Focused() != fyne.Focusable(o.halt) // who opened the file took the keyboard to its bench
	o.object.Hide()
	o.object.RemoveAll()
	switch {
	case came:
	case o.before != nil:
		canvas.Focus(o.before)
	default:
		canvas.Unfocus()
	}
	o.before = nil
}

func (o *opening) up() bool { return o.object.Visible() }

// shareBar is a bar that is filled as far as something is done.
type shareBar struct {
	object *fyne.Container
	share  float32
}

const shareBarHigh = 12

func newShareBar() *shareBar {
	t := look.Now()
	full, bar := canvas.NewRectangle(t.Sunken), canvas.NewRectangle(t.Accent)
	full.StrokeColor, full.StrokeWidth, full.CornerRadius = t.Line, 1, 3
	bar.CornerRadius = 3
	b := &shareBar{}
	b.object = container.New(b, full, bar)
	return b
}

func (b *shareBar) set(done, of int) {
	if of > 0 {
		b.share = min(float32(done)/float32(of), 1)
	}
	b.Layout(b.object.Objects, b.object.Size())
	b.object.Refresh()
}

// Layout lays the filled part over the whole.
func (b *shareBar) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	objects[0].Resize(size)
	objects[1].Resize(fyne.NewSize(size.Width*b.share, size.Height))
}

// MinSize is that of a bar that is seen from a step away.
func (b *shareBar) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(60, shareBarHigh) }
