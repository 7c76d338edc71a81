package window

import (
	"fmt"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bellout/app/desk"
	"bellout/app/window/look"
)

// status is the line at the foot: what was done last, or what went wrong, and
// long work with its way to stop it.
type status struct {
	object fyne.CanvasObject
	window *Window
	sign   *canvas.Text
	text   *widget.Label
	work   *fyne.Container
	ticks  int
}

// patience is how long work may go on before it is shown.
const patience = 300 * time.Millisecond

func newStatus(w *Window) *status {
	t := look.Now()
	s := &status{window: w, sign: look.Line("", t.Bad, theme.SizeNameText, fyne.TextStyle{Bold: true}), text: widget.NewLabel(""), work: container.NewHBox()}
	s.text.Truncation = fyne.TextTruncateEllipsis
	line := container.NewBorder(nil, nil, container.NewCenter(s.sign), s.work, s.text)
	over := canvas.NewRectangle(t.Line)
	over.SetMinSize(fyne.NewSize(1, 1))
	s.object = look.Ground(t.Sunken, container.NewBorder(over, nil, nil, nil, container.New(layout.NewCustomPaddedLayout(0, 0, 14, 14), line)))
	w.room.Listen(func(what desk.Changed) {
		switch {
		case what.Has(desk.Noticed | desk.File):
			s.say("")
		case what.Has(desk.Answered) && w.desk.Outcome() != nil && !w.desk.Notice().Bad:
			s.say(w.desk.Notice().Text) // what was said before the reading is over
		}
		if what.Has(desk.Tasks) {
			s.watch()
		}
	})
	s.say("")
	return s
}

// say shows what was said last, unless it is over.
func (s *status) say(over string) {
	notice := s.window.desk.Notice()
	if notice.Text == over {
		notice.Text = ""
	}
	s.sign.Text = ""
	if notice.Bad {
		s.sign.Text = "Not done:"
	}
	s.text.SetText(notice.Text)
	s.sign.Refresh()
	s.object.Refresh()
}

// watch shows work that goes on for longer than a person would wait without
// asking, and how far it is.
func (s *status) watch() {
	if len(s.window.desk.Tasks()) == 0 {
		s.work.RemoveAll()
		s.work.Refresh()
		return
	}
	s.ticks++
	mine := s.ticks
	time.AfterFunc(patience, func() { fyne.Do(func() { s.showWork(mine) }) })
}

func (s *status) showWork(mine int) {
	if mine != s.ticks {
		return
	}
	s.work.RemoveAll()
	tasks := s.window.desk.Tasks()
	for _, task := range tasks {
		words := task.Name
		if done, of := task.Progress(); of > 0 {
			words = fmt.Sprintf("%s: %d %%", words, 100*done/of)
		}
		s.work.Add(container.NewCenter(look.Line(words, look.Now().Soft, theme.SizeNameText, fyne.TextStyle{})))
		s.work.Add(look.NewPress("Stop", "", task.Stop))
	}
	s.work.Refresh()
	if len(tasks) > 0 {
		time.AfterFunc(patience, func() { fyne.Do(func() { s.showWork(mine) }) })
	}
}
