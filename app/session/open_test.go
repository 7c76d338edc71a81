package session_test

import (
	"context"
	"errors"
	"path/filepath"
	"testing"

	"bellout/app/session"
)

// A file of 20,000 terminals takes long enough that the owner comes between.
func TestAnOpeningTellsHowFarItIsAndCanBeStopped(t *testing.T) {
	delivered := make(chan func(), 10000)
	d := session.New(session.Options{Deliver: func(f func()) { delivered <- f }})
	var errs []error
	finished := func(err error) { errs = append(errs, err) }
	until := func(holds func() bool) {
		for !holds() {
			(<-delivered)()
		}
	}
	small := demoFile(t)
	d.Open(small, finished)
	until(func() bool { return len(errs) == 1 && d.View().Path == small })
	if len(errs) != 1 || errs[0] != nil {
		t.Fatal(errs)
	}

	large := sampleFile(t, 20000)
	d.Open(large, finished)
	task := d.Tasks()[0]
	if !task.Opening || task.Name != "Opening large" {
		t.Errorf("listed is %+v", task)
	}
	for done, of := task.Progress(); done == 0 || of == 0; done, of = task.Progress() {
	}
	task.Stop()
	until(func() bool { return len(errs) == 2 })
	if !errors.Is(errs[1], context.Canceled) || errs[1].Error() != "Opening large: stopped; everything is as it was." {
		t.Errorf("stopped, it says %v", errs[1])
	}
	if d.View().Path != small || len(d.Tasks()) != 0 {
		t.Errorf("on the desk lies %q, with %d tasks", d.View().Path, len(d.Tasks()))
	}
	if d.Complain(errs[1]); d.Notice().Bad {
		t.Error("what the person stopped is told as a failure")
	}

	d.Open(large, finished) // it was let go: it opens, and for writing
	until(func() bool { return d.View().Path == large })
	if d.View().ReadOnly {
		t.Errorf("after a stop it is read only: %s", d.View().Why)
	}
	d.Open(filepath.Join(t.TempDir(), "nowhere.bellout"), finished)
	until(func() bool { return len(errs) == 4 })
	if errs[3] == nil || d.View().Path != large {
		t.Errorf("a file that is not there: %v; on the desk %q", errs[3], d.View().Path)
	}
	if err := d.Close(); err != nil {
		t.Error(err)
	}
}
