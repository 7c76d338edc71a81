package session

import (
	"fmt"
	"time"

	"bellout/app/changes"
	"bellout/model"
)

// Do makes an edit of the map that was worked out from the view. done, which
// may be nil, is told whether it was made; without it the status line says so.
func (d *Session) Do(edit model.Edit, done func(error)) {
	if d.view.ReadOnly || d.view.Path == "" {
		d.finish(done, d.checkWritable())
		return
	}
	d.worker.do(func(w *worker) {
		if w.file == nil {
			return
		}
		err := w.attempt(func() error { return w.file.Do(edit) })
		if err == nil {
			w.diagnose(true)
			w.publish()
			w.tellOwner(Notice{Text: edit.What})
		}
		d.finish(done, err)
	})
}

func (d *Session) checkWritable() error {
	switch {
	case d.view.Path == "":
		return fmt.Errorf("no file is open; open or begin one first")
	case d.view.ReadOnly:
		return fmt.Errorf("the file is open for reading only (%s); save a copy and work in that", d.view.Why)
	}
	return nil
}

// NoteReplaced notes that another part stands in a device's place from now on. The
// death of the one before stays in the history.
func (d *Session) NoteReplaced(ref string) {
	edit, err := changes.NoteReplaced(d.view.Machine, ref, d.Now())
	if err != nil {
		d.Complain(err)
		return
	}
	d.Do(edit, nil)
}

// SetHealth notes that a device works, has failed, and when, or that nobody
// knows. at is kept for a failed one only; the zero time means not known when.
func (d *Session) SetHealth(ref string, health model.Health, at time.Time) {
	before, there := d.view.Machine.Device(ref)
	if !there {
		d.Complain(fmt.Errorf("no device %q on the map", ref))
		return
	}
	after := before
	after.Health, after.FailedAt = health, time.Time{}
	what := fmt.Sprintf("%s is noted as %s", ref, health)
	if health == model.HealthFailed {
		after.FailedAt = at
	}
	if after == before {
		return
	}
	d.Do(model.Edit{What: what, Changes: []model.Change{{Before: before, After: after}}}, nil)
}
