package session_test

import (
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"bellout/app/session"
	"bellout/assets/lantern"
	"bellout/faults/judge"
	"bellout/faults/nextprobe"
	"bellout/model"
)

// demoFile is Lantern Lock, as it was found, in a new file.
func demoFile(t testing.TB) string { t.Helper(); return lantern.File(t) }

// open puts the demo machine on a desk whose jobs are done at once.
func open(t testing.TB) *session.Session {
	t.Helper()
	d := session.New(session.Options{})
	d.Open(demoFile(t), func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	})
	t.Cleanup(func() {
		if err := d.Close(); err != nil {
			t.Error(err)
		}
	})
	return d
}

func ref(t testing.TB, text string) model.TerminalRef {
	t.Helper()
	r, err := model.ParseTerminalRef(text)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestAReadingIsStoredJudgedAndTakenBack(t *testing.T) {
	d := open(t)
	wire := d.Machine().Wires[0]
	d.PutTip(session.Red, wire.From)
	d.PutTip(session.Black, wire.To)
	entry, err := session.ReadEntry("b")
	if err != nil {
		t.Fatal(err)
	}
	before := len(d.Machine().Readings)
	if err := d.Log(entry); err != nil {
		t.Fatal(err)
	}
	outcome := d.Outcome()
	if outcome == nil || outcome.Outcome != judge.Agrees {
		t.Fatalf("a beep along wire %s means %+v, want that it agrees", wire.Name, outcome)
	}
	if got := len(d.Machine().Readings); got != before+1 {
		t.Fatalf("%d readings, want %d", got, before+1)
	}
	d.Undo()
	r, there := d.Machine().Reading(outcome.Reading.Number)
	if !there || r.Stands() {
		t.Errorf("after undo reading %d stands: %v, there: %v; want it there and struck out", r.Number, r.Stands(), there)
	}
	if d.Outcome() != nil {
		t.Error("what a reading means is still shown after it was taken back")
	}
}

func TestTakingAProposalPutsTipsAndConditions(t *testing.T) {
	d := open(t)
	if !d.Take() {
		t.Fatal("no proposal for the demo machine")
	}
	probe := d.Offered().Probe
	if d.Tip(session.Red) != probe.Red || d.Tip(session.Black) != probe.Black || d.Conditions().String() != probe.Conditions.String() {
		t.Errorf("tips %s and %s, %s; the proposal says %+v", d.Tip(session.Red), d.Tip(session.Black), d.Conditions(), probe)
	}
	d.SwapTips()
	if d.Offered() != nil {
		t.Error("a proposal is still on offer though the tips were changed over")
	}
}

func TestATipThatIsNotOnTheMapStoresNothing(t *testing.T) {
	d := open(t)
	d.PutTip(session.Red, ref(t, "NOPE:1"))
	d.PutTip(session.Black, d.Machine().Wires[0].From)
	before := len(d.Machine().Readings)
	entry, _ := session.ReadEntry("b")
	if err := d.Log(entry); err == nil {
		t.Error("a tip on a terminal that is not there was taken")
	}
	if len(d.Machine().Readings) != before {
		t.Error("something was stored")
	}
}

func TestHealthIsNotedWithItsTimeAndUndone(t *testing.T) {
	d := open(t)
	var well model.Device
	for _, device := range d.Machine().Devices {
		if device.Health != model.HealthFailed {
			well = device
		}
	}
	at := time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)
	d.SetHealth(well.Ref, model.HealthFailed, at)
	if got, _ := d.Machine().Device(well.Ref); got.Health != model.HealthFailed || !got.FailedAt.Equal(at) {
		t.Errorf("noted as %+v", got)
	}
	d.Undo()
	if got, _ := d.Machine().Device(well.Ref); got != well {
		t.Errorf("after undo %+v, want %+v", got, well)
	}
}

// TestTheWorkerKeepsTheOrder drives a desk with a worker of its own: the owner
// here is a goroutine that runs what is delivered.
func TestTheWorkerKeepsTheOrder(t *testing.T) {
	delivered := make(chan func(), 1000)
	d := session.New(session.Options{Deliver: func(f func()) { delivered <- f }})
	opened := false
	d.Open(demoFile(t), func(err error) {
		if err != nil {
			t.Error(err)
		}
		opened = true
	})
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
	pump(func() bool { return opened && d.View().Path != "" })
	readings := len(d.Machine().Readings)
	entry, _ := session.ReadEntry("b")
	for _, wire := range d.Machine().Wires[:5] {
		d.PutTip(session.Red, wire.From)
		d.PutTip(session.Black, wire.To)
		if err := d.Log(entry); err != nil {
			t.Fatal(err)
		}
	}
	pump(func() bool { return len(d.Machine().Readings) == readings+5 && d.View().Next != nil })
	var closed sync.WaitGroup
	closed.Go(func() {
		if err := d.Close(); err != nil {
			t.Error(err)
		}
	})
	closed.Wait()
}

func TestAnImportIsTakenBackOnlyWhenAskedTwice(t *testing.T) {
	d := open(t)
	devices := len(d.Machine().Devices)
	d.Undo()
	if len(d.Machine().Devices) != devices {
		t.Fatal("one key took the whole machine away")
	}
	if said := d.Notice().Text; !strings.Contains(said, "Once more") {
		t.Errorf("it says %q", said)
	}
	d.Undo()
	if len(d.Machine().Devices) != 0 {
		t.Fatal("asked twice it is not taken back")
	}
	d.Redo()
	if len(d.Machine().Devices) != devices {
		t.Error("it does not come back")
	}
}

func TestAProbeOfAnotherKeepsItsRangeAndItsCaution(t *testing.T) {
	d := open(t)
	probe := nextprobe.Probe{Red: d.Machine().Wires[0].From, Black: d.Machine().Wires[0].To, Mode: model.ModeVoltsAC}
	d.TakeFor(probe, "because", "mind this")
	if got := d.Offered(); got == nil || got.Probe.Mode != model.ModeVoltsAC || got.Caution != "mind this" || got.Reason != "because" {
		t.Errorf("on offer is %+v", got)
	}
}

// However small it is, an import is taken back only by two presses, one after the
// other: whoever takes back readings one by one stops in front of the machine.
func TestUndoStopsBeforeAnImport(t *testing.T) {
	folder := t.TempDir()
	for name, text := range map[string]string{
		"devices.csv": "device\nG1\nE1\n", "terminals.csv": "device,terminal\nG1,+\nE1,+\n", "wires.csv": "wire,from,to\nW1,G1:+,E1:+\n",
	} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	d := session.New(session.Options{})
	fine := func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	d.Create(filepath.Join(t.TempDir(), "small.bellout"), fine)
	d.Import(folder, fine)
	logs(t, d, d.Machine().Wires[0], "b")
	d.Undo() // the reading
	d.Undo()
	if said := d.Notice().Text; len(d.Machine().Devices) != 2 || !strings.Contains(said, "takes back import of") || !strings.Contains(said, "Once more") {
		t.Fatalf("%d devices are left, and it says %q", len(d.Machine().Devices), said)
	}
	logs(t, d, d.Machine().Wires[0], "s") // in between: the question is over
	d.Undo()
	d.Undo()
	if len(d.Machine().Devices) != 2 {
		t.Fatal("the question of before was taken for asked")
	}
	d.Undo()
	if len(d.Machine().Devices) != 0 {
		t.Errorf("asked twice, and %d devices are left", len(d.Machine().Devices))
	}
	fine(d.Close())
}
