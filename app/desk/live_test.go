package desk_test

import (
	"testing"

	"bellout/app/desk"
)

func logged(t *testing.T, d *desk.Desk, value string) {
	t.Helper()
	entry, err := desk.ReadEntry(value)
	if err != nil {
		t.Fatal(err)
	}
	if err := d.Log(entry); err != nil {
		t.Fatal(err)
	}
}

func TestVoltsMakeAPairLiveUntilItReadsNothing(t *testing.T) {
	d := open(t)
	d.PutTip(desk.Red, ref(t, "G1:+"))
	d.PutTip(desk.Black, ref(t, "G1:-"))
	logged(t, d, "12V")
	live := d.Live()
	if len(live) != 1 || live[0].Volts != 12 || live[0].Reading == 0 {
		t.Fatalf("after 12 V live are %+v", live)
	}
	d.PutTip(desk.Black, ref(t, "X11:1"))
	logged(t, d, "0V")
	if len(d.Live()) != 1 {
		t.Error("0 V at another pair cleared it")
	}
	d.PutTip(desk.Black, ref(t, "G1:-"))
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
	if len(d.Live()) != 0 {
		t.Error("a reading that was struck out is still live")
	}
	logged(t, d, "5V falling")
	if d.ProvenDead(); len(d.Live()) != 0 {
		t.Error("the word of a person does not count")
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
	if d.HeldState(j4[0]) != desk.HeldSure {
		t.Error("what a person set is not sure")
	}
	probe := *d.View().Next.Probe
	probe.Conditions = j4[1:]
	d.TakeProbe(probe)
	if d.HeldState(j4[1]) != desk.HeldToDo || d.ToPutBack().String() != j4[:1].String() {
		t.Errorf("taken: %s is %v, to put back %s", j4[1], d.HeldState(j4[1]), d.ToPutBack())
	}
	probe.Conditions = nil
	d.TakeProbe(probe) // W12 was never lifted, J4 is still out
	if d.ToPutBack().String() != j4[:1].String() {
		t.Errorf("to put back are %s", d.ToPutBack())
	}
	probe.Conditions = j4
	d.TakeProbe(probe)
	if d.HeldState(j4[0]) != desk.HeldSure || d.HeldState(j4[1]) != desk.HeldToDo || len(d.ToPutBack()) != 0 {
		t.Errorf("J4 stayed out: %v, W12 %v, to put back %s", d.HeldState(j4[0]), d.HeldState(j4[1]), d.ToPutBack())
	}
	logged(t, d, "s")
	if len(d.HeldIn(desk.HeldSure)) != 2 {
		t.Errorf("after the value sure are %s", d.HeldIn(desk.HeldSure))
	}
}
