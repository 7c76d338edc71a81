package session_test

import (
	"strings"
	"testing"

	"bellout/app/session"
	"bellout/model/store"
)

// restarted is a desk over the same file in another run of the program: nothing
// is carried over but the file.
func restarted(t *testing.T, d *session.Session) *session.Session {
	t.Helper()
	path := d.View().Path
	if err := d.Close(); err != nil {
		t.Fatal(err)
	}
	again := session.New(session.Options{})
	again.Open(path, func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	})
	return again
}

func begun(t *testing.T) *session.Session {
	t.Helper()
	d := session.New(session.Options{})
	d.Open(demoFile(t), nil)
	return d
}

func shut(t *testing.T, d *session.Session) {
	t.Helper()
	if err := d.Close(); err != nil {
		t.Error(err)
	}
}

func TestALiveMachineStaysLiveOverARestart(t *testing.T) {
	d := begun(t)
	d.PutTip(session.Red, ref(t, "G1:+"))
	d.PutTip(session.Black, ref(t, "G1:-"))
	logged(t, d, "12V")
	number := d.Live()[0].Reading
	d = restarted(t, d)
	live := d.Live()
	if len(live) != 1 || live[0].Volts != 12 || live[0].Reading != number || !live[0].Earlier || live[0].Red != ref(t, "G1:+") || live[0].Black != ref(t, "G1:-") {
		t.Fatalf("after a restart live are %+v", live)
	}
	d.PutTip(session.Red, ref(t, "G1:-"))
	d.PutTip(session.Black, ref(t, "G1:+"))
	logged(t, d, "0.01V")
	d = restarted(t, d)
	if len(d.Live()) != 0 {
		t.Errorf("0 V ended it, and after a restart live are %+v", d.Live())
	}
	d.PutTip(session.Red, ref(t, "G1:+"))
	d.PutTip(session.Black, ref(t, "G1:-"))
	logged(t, d, "230V~")
	d = restarted(t, d)
	d.ProvenDead()
	d = restarted(t, d)
	defer shut(t, d)
	if len(d.Live()) != 0 {
		t.Errorf("proven dead by word, and after a restart live are %+v", d.Live())
	}
}

// What cannot be read stands for something live: nothing else would be safe.
func TestALiveLineThatCannotBeReadIsTold(t *testing.T) {
	path := demoFile(t)
	file, err := store.Open(path, store.ReadWrite)
	if err != nil {
		t.Fatal(err)
	}
	if err := file.KeepBench(store.BenchLive, []string{"volts-dc twelve 0 G1:+ G1:-", "ohms 12 0 G1:+ G1:-", "volts-dc 12 0 G1:+ G1:-"}); err != nil {
		t.Fatal(err)
	}
	if err := file.Close(); err != nil {
		t.Fatal(err)
	}
	d := session.New(session.Options{})
	d.Open(path, nil)
	for range 2 { // it is no less live the second time
		if live := d.Live(); len(live) != 3 || live[0].Unread != "volts-dc twelve 0 G1:+ G1:-" || live[1].Unread == "" || live[2].Unread != "" {
			t.Errorf("live are %+v", live)
		}
		if !d.Notice().Bad || !strings.Contains(d.Notice().Text, "cannot be read (ohms 12 0") {
			t.Errorf("it says %q", d.Notice().Text)
		}
		d = restarted(t, d)
	}
	d.ProvenDead()
	d = restarted(t, d)
	defer shut(t, d)
	if len(d.Live()) != 0 {
		t.Errorf("proven dead, and live are %+v", d.Live())
	}
}

func TestWhatIsDoneToTheMachineComesBackInDoubt(t *testing.T) {
	d := begun(t)
	if err := d.AddConditions("unplugged J4; lifted W12"); err != nil {
		t.Fatal(err)
	}
	d.SetAside("open W1", true)
	d = restarted(t, d)
	list := d.Conditions()
	if list.String() != "lifted W12; unplugged J4" || d.HeldState(list[0]) != session.HeldLast || d.HeldState(list[1]) != session.HeldLast {
		t.Fatalf("after a restart hold %s, %v", list, d.HeldState(list[0]))
	}
	if !d.IsAside("open W1") {
		t.Error("the finding is not set aside any more")
	}
	d.RemoveCondition(list[0])
	if err := d.AddConditions("lifted W12"); err != nil || d.HeldState(list[0]) != session.HeldSure {
		t.Errorf("set anew it is %v, %v", d.HeldState(list[0]), err)
	}
	d.SetConditions(nil)
	d.SetAside("open W1", false)
	d = restarted(t, d)
	defer shut(t, d)
	if len(d.Conditions()) != 0 || d.IsAside("open W1") {
		t.Errorf("what was cleared came back: %s, aside %v", d.Conditions(), d.Aside())
	}
}

// A window that may only read shows the alarm, also one that comes later.
func TestAReadingWindowFollowsTheAlarm(t *testing.T) {
	d := begun(t)
	defer shut(t, d)
	reader := session.New(session.Options{})
	defer shut(t, reader)
	reader.Open(d.View().Path, nil)
	if !reader.View().ReadOnly {
		t.Fatal("two windows may write to one file")
	}
	d.PutTip(session.Red, ref(t, "G1:+"))
	d.PutTip(session.Black, ref(t, "G1:-"))
	logged(t, d, "12V")
	reader.Refresh()
	if len(reader.Live()) != 1 {
		t.Errorf("in the other window live are %+v; it says %q", reader.Live(), reader.Notice().Text)
	}
	d.ProvenDead()
	reader.Refresh()
	if len(reader.Live()) != 0 {
		t.Errorf("after it was proven dead live are %+v", reader.Live())
	}
}
