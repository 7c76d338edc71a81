package window

import (
	"fmt"
	"slices"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"bellout/app/session"
	"bellout/app/window/keys"
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
	stop   func() // ends the wait for the next look at the work
}

// patience is how long work may go on before it is shown.
const patience = 300 * time.Millisecond

func newStatus(w *Window) *status {
	t := look.Now()
	s := &status{window: w, sign: look.Line("", t.Bad, theme.SizeNameText, fyne.TextStyle{Bold: true}), text: widget.NewLabel(""), work: container.NewHBox(), stop: func() {}}
	s.text.Truncation = fyne.TextTruncateEllipsis
	line := container.NewBorder(nil, nil, container.NewCenter(s.sign), s.work, s.text)
	over := canvas.NewRectangle(t.Line)
	over.SetMinSize(fyne.NewSize(1, 1))
	s.object = look.Ground(t.Sunken, container.NewBorder(over, nil, nil, nil, container.New(layout.NewCustomPaddedLayout(0, 0, 14, 14), line)))
	w.room.Listen(func(what session.Changed) {
		switch {
		case what.Has(session.Noticed | session.File):
			s.say("")
		case what.Has(session.Answered) && w.desk.Outcome() != nil && !w.desk.Notice().Bad:
			s.say(w.desk.Notice().Text) // what was said before the reading is over
		}
		if what.Has(session.Tasks) {
			s.watch()
		}
	})
	s.say("")
	s.watch()
	w.stops = append(w.stops, func() { s.stop() })
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

// tasks are the long work that this line shows; a file that is opened has a card.
func (s *status) tasks() []*session.Task {
	return slices.DeleteFunc(s.window.desk.Tasks(), func(task *session.Task) bool { return task.Opening })
}

// watch shows work that goes on for longer than a person would wait without
// asking, and how far it is.
func (s *status) watch() {
	s.stop()
	if len(s.tasks()) == 0 {
		s.work.RemoveAll()
		s.work.Refresh()
		return
	}
	s.stop = s.window.desk.After(patience, s.showWork)
}

func (s *status) showWork() {
	s.work.RemoveAll()
	tasks := s.tasks()
	for i, task := range tasks {
		words := task.Name
		if done, of := task.Progress(); of > 0 {
			words += ": " + percent(done, of)
		}
		key := ""
		if i == len(tasks)-1 { // the one that the key stops
			key = haltKey.String()
		}
		s.work.Add(container.NewCenter(look.Line(words, look.Now().Soft, theme.SizeNameText, fyne.TextStyle{})))
		s.work.Add(look.NewPress("Stop", key, task.Stop))
	}
	s.work.Refresh()
	if len(tasks) > 0 {
		s.stop = s.window.desk.After(patience, s.showWork)
	}
}

func percent(done, of int) string { return fmt.Sprintf("%d %%", 100*min(done, of)/of) }

// haltKey stops the long work that it stands beside.
var haltKey = keys.Ctrl(fyne.KeyH)

// halt stops the long work of this line that began last; where there is none, the
// file that is being opened.
func (w *Window) halt() {
	tasks := w.status.tasks()
	if len(tasks) == 0 {
		tasks = w.desk.Tasks()
	}
	if len(tasks) > 0 {
		tasks[len(tasks)-1].Stop()
	}
}
