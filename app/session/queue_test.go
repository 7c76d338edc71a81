package session_test

import (
	"testing"
	"time"

	"bellout/app/changes"
	"bellout/app/session"
	"bellout/faults/nextprobe"
	"bellout/model"
)

// A queue goes before what the planner would propose; a probe that was answered,
// or skipped, is followed by the next, and after the last one the planner goes on.
func TestAQueueIsProposedOneByOneAndThenThePlannerGoesOn(t *testing.T) {
	d := open(t)
	planned := d.View().Next
	var list []nextprobe.Proposal
	for _, pair := range [][2]string{{"G1:+", "F1:1"}, {"G2:+", "G2:-"}} {
		list = append(list, nextprobe.Proposal{Probe: &nextprobe.Probe{Red: ref(t, pair[0]), Black: ref(t, pair[1]), Mode: model.ModeOhms}, Why: "again", Proves: []string{}})
	}
	d.Queue("test", list)
	if next := d.View().Next; next == nil || next.Probe == nil || next.Probe.Red != list[0].Probe.Red {
		t.Fatalf("proposed: %+v", next)
	}
	if !d.Take() {
		t.Fatal("not taken")
	}
	if err := d.Log(session.Entry{Value: model.Value{Number: 0.3}, Mode: model.ModeOhms}); err != nil {
		t.Fatal(err)
	}
	if next := d.View().Next; next.Probe.Red != list[1].Probe.Red {
		t.Fatalf("after the first: %+v", next)
	}
	d.Skip()
	if got := d.Waiting(); got.Left != 0 || got.Total != 2 {
		t.Errorf("waiting: %+v", got)
	}
	next := d.View().Next
	if next == nil || next.Why == "again" {
		t.Errorf("after the last: %+v", next)
	}
	if d.Queue("", nil); planned == nil || d.Waiting().Total != 0 {
		t.Errorf("an empty queue: %+v", d.Waiting())
	}
}

func TestAStateIsComparedWithThePresent(t *testing.T) {
	d := open(t)
	fail := func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	d.NameState("as found", fail)
	wire, _ := d.Machine().Wire("W228")
	out := wire
	out.Removed = true
	d.Do(model.Edit{What: "W228 is out", Changes: []model.Change{{Before: wire, After: out}}}, fail)
	called := 0
	d.Compare("as found", session.Present, func(_ *changes.Sides, r *changes.Report, again *changes.Again, err error) {
		called++
		fail(err)
		if len(r.Groups) == 0 || r.Groups[0].Name != "wires_removed" || again.Empty() {
			t.Errorf("%+v, %+v", r.Groups, again)
		}
	})
	d.Compare("nowhere", session.Present, func(_ *changes.Sides, _ *changes.Report, _ *changes.Again, err error) {
		called++
		if err == nil {
			t.Error("a state that there is not is compared")
		}
	})
	if called != 2 {
		t.Errorf("answered %d times", called)
	}
}

// With a worker of its own the desk answers a comparison and hands the queue over,
// in the order in which they were asked for.
func TestAComparisonComesFromTheWorker(t *testing.T) {
	delivered := make(chan func(), 1000)
	d := session.New(session.Options{Deliver: func(f func()) { delivered <- f }})
	pump := func(until func() bool) {
		t.Helper()
		deadline := time.After(time.Minute)
		for !until() {
			select {
			case f := <-delivered:
				f()
			case <-deadline:
				t.Fatal("nothing came for a minute")
			}
		}
	}
	d.Open(demoFile(t), nil)
	pump(func() bool { return d.View().Path != "" })
	wire, _ := d.Machine().Wire("W228")
	out := wire
	out.Removed = true
	d.NameState("as found", nil)
	d.Do(model.Edit{What: "W228 is out", Changes: []model.Change{{Before: wire, After: out}}}, nil)
	var again *changes.Again
	d.Compare("as found", session.Present, func(_ *changes.Sides, _ *changes.Report, a *changes.Again, err error) {
		if again = a; err != nil {
			t.Error(err)
		}
	})
	pump(func() bool { return again != nil && len(d.Tasks()) == 0 })
	if len(again.Checks) == 0 {
		t.Fatal("nothing has to be verified again")
	}
	d.Queue("since as found", []nextprobe.Proposal{again.Checks[0].Proposal})
	pump(func() bool {
		next := d.View().Next
		return next != nil && next.Probe != nil && next.Why == again.Checks[0].Why
	})
	if err := d.Close(); err != nil {
		t.Error(err)
	}
}

// A dead test at the open plug does not answer the volts there: both are offered.
func TestVoltsAndADeadTestOfTheSamePointsAreTwoProbes(t *testing.T) {
	d := open(t)
	out := model.NewConditions(model.Condition{Kind: model.Unplugged, Device: "A2"})
	var list []nextprobe.Proposal
	for _, mode := range []model.Mode{model.ModeOhms, model.ModeVoltsDC} {
		list = append(list, nextprobe.Proposal{Probe: &nextprobe.Probe{Red: ref(t, "G1:+"), Black: ref(t, "G1:-"), Mode: mode, Conditions: out}, Why: string(mode), Proves: []string{}})
	}
	d.Queue("replacing A2", list)
	if !d.Take() {
		t.Fatal("not taken")
	}
	if err := d.Log(session.Entry{Value: model.Value{Kind: model.ShowsOL}, Mode: model.ModeOhms}); err != nil {
		t.Fatal(err)
	}
	if next := d.View().Next; next == nil || next.Why != string(model.ModeVoltsDC) {
		t.Fatalf("after the dead test: %+v", next)
	}
	d.Skip()
	if got := d.Waiting(); got.Left != 0 {
		t.Errorf("waiting: %+v", got)
	}
}
