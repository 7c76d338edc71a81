package session_test

import (
	"fmt"
	"testing"

	"bellout/app/session"
)

func logged(t *testing.T, d *session.Session, value string) {
	t.Helper()
	entry, err := session.ReadEntry(value)
	if err != nil {
		t.Fatal(err)
	}
	if err := d.Log(entry); err != nil {
		t.Fatal(err)
	}
}

func TestVoltsMakeAPairLiveUntilItReadsNothing(t *testing.T) {
	d := open(t)
	d.PutTip(session.Red, ref(t, "G1:+"))
	d.PutTip(session.Black, ref(t, "G1:-"))
	logged(t, d, "12V")
	live := d.Live()
	if len(live) != 1 || live[0].Volts != 12 || live[0].Reading == 0 {
		t.Fatalf("after 12 V live are %+v", live)
	}
	d.PutTip(session.Black, ref(t, "X11:1"))
	logged(t, d, "0V")
	if len(d.Live()) != 1 {
		t.Error("0 V at another pair cleared it")
	}
	d.PutTip(session.Black, ref(t, "G1:-"))
	logged(t, d, "0V~")
	logged(t, d, "0.1V rising")
	if len(d.Live()) != 1 {
		t.Error("0 V in the other range, or while it still rises, cleared it")
	}
	d.SwapTips()
	logged(t, d, "-0.02V")
	if len(d.Live()) != 0 {
		t.Errorf("about 0 V on the same two left %+v", d.Live())
	}
	logged(t, d, "230V~")
	d.Strike(d.Live()[0].Reading, "mistyped")
	if live := d.Live(); len(live) != 1 || !live[0].TakenBack {
		t.Errorf("after its reading was struck out live are %+v", live)
	}
	logged(t, d, "5V falling")
	if d.ProvenDead(); len(d.Live()) != 0 {
		t.Error("the word of a person does not count")
	}
}

// TestTakingBackVoltsDoesNotEndLive: only about 0 V, or the word of a person, does; and
// where the 0 V is taken back, the pair is live again.
func TestTakingBackVoltsDoesNotEndLive(t *testing.T) {
	path := demoFile(t)
	at := func(live []session.Live) string {
		text := ""
		for _, l := range live {
			text += fmt.Sprintf("%s %s %v %v;", l.Red, l.Black, l.Volts, l.TakenBack)
		}
		return text
	}
	d := session.New(session.Options{})
	d.Open(path, func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	})
	d.PutTip(session.Red, ref(t, "G1:+"))
	d.PutTip(session.Black, ref(t, "G1:-"))
	logged(t, d, "12V")
	for _, step := range []struct {
		name string
		do   func()
		want string
	}{
		{"undo of the volts", d.Undo, "G1:+ G1:- 12 true;"},
		{"redo of the volts", d.Redo, "G1:+ G1:- 12 false;"},
		{"0 V", func() { logged(t, d, "0.02V") }, ""},
		{"undo of the 0 V", d.Undo, "G1:+ G1:- 12 false;"},
		{"redo of the 0 V", d.Redo, ""},
		{"0 V once more", func() { d.SwapTips(); logged(t, d, "0V") }, ""},
		{"undo of the second 0 V", d.Undo, ""},
		{"undo of both", d.Undo, "G1:+ G1:- 12 false;"},
		{"undo of all", d.Undo, "G1:+ G1:- 12 true;"},
	} {
		if step.do(); at(d.Live()) != step.want {
			t.Errorf("after %s live are %q, want %q", step.name, at(d.Live()), step.want)
		}
	}
	if err := d.Close(); err != nil {
		t.Fatal(err)
	}
	again := session.New(session.Options{})
	again.Open(path, nil)
	if got := at(again.Live()); got != "G1:+ G1:- 12 true;" {
		t.Errorf("opened again live are %q", got)
	}
	again.ProvenDead()
	if len(again.Live()) != 0 {
		t.Error("the word of a person does not end it")
	}
	if err := again.Close(); err != nil {
		t.Fatal(err)
	}
}

func TestATakenProbeChangesNothingUntilItIsDone(t *testing.T) {
	d := open(t)
	m := d.Machine()
	j4, err := m.ParseConditions("unplugged J4; lifted W12")
	if err != nil {
		t.Fatal(err)
	}
	d.SetConditions(j4[:1])
	if d.HeldState(j4[0]) != session.HeldSure {
		t.Error("what a person set is not sure")
	}
	probe := *d.View().Next.Probe
	probe.Conditions = j4[1:]
	d.TakeProbe(probe)
	if d.HeldState(j4[1]) != session.HeldToDo || d.ToPutBack().String() != j4[:1].String() {
		t.Errorf("taken: %s is %v, to put back %s", j4[1], d.HeldState(j4[1]), d.ToPutBack())
	}
	probe.Conditions = nil
	d.TakeProbe(probe) // W12 was never lifted, J4 is still out
	if d.ToPutBack().String() != j4[:1].String() {
		t.Errorf("to put back are %s", d.ToPutBack())
	}
	probe.Conditions = j4
	d.TakeProbe(probe)
	if d.HeldState(j4[0]) != session.HeldSure || d.HeldState(j4[1]) != session.HeldToDo || len(d.ToPutBack()) != 0 {
		t.Errorf("J4 stayed out: %v, W12 %v, to put back %s", d.HeldState(j4[0]), d.HeldState(j4[1]), d.ToPutBack())
	}
	logged(t, d, "s")
	if len(d.HeldIn(session.HeldSure)) != 2 {
		t.Errorf("after the value sure are %s", d.HeldIn(session.HeldSure))
	}
}
