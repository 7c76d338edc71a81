package session

// NoteCaution keeps in the file that the caution card was shown and answered.
func (d *Session) NoteCaution() {
	at, readOnly := d.Now(), d.view.ReadOnly
	d.worker.do(func(w *worker) {
		if w.file == nil || readOnly {
			return
		}
		if err := w.attempt(func() error { return w.file.NoteCaution(at, "window") }); err != nil {
			w.tellOwner(Notice{Text: err.Error(), Bad: true})
		}
	})
}
