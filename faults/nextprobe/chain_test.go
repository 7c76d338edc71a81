package nextprobe

import (
	"fmt"
	"testing"
	"time"

	"bellout/faults"
	"bellout/model"
)

// daisyChain is a lamp on a supply behind so many plugs in a row, with a reading
// over all of them if there is a value.
func daisyChain(t *testing.T, plugs int, shows *model.Value) *model.Machine {
	t.Helper()
	var edit model.Edit
	add := func(row model.Row) { edit.Changes = append(edit.Changes, model.Change{After: row}) }
	device := func(ref string, kind model.DeviceKind, volts float64, marks ...model.Terminal) {
		add(model.Device{Ref: ref, Kind: kind, Health: model.HealthOK, LimitAmps: model.Known(5)})
		for _, mark := range marks {
			mark.Device = ref
			if mark.Role == model.RoleRail || mark.Role == model.RoleFeed {
				mark.Volts = model.Known(volts)
			}
			add(mark)
		}
	}
	ref := func(device, mark string) model.TerminalRef { return model.TerminalRef{Device: device, Mark: mark} }
	wires := 0
	wire := func(from, to model.TerminalRef) {
		wires++
		add(model.Wire{Name: fmt.Sprintf("W%d", wires), From: from, To: to, Basis: model.BasisPlanned})
	}
	device("G1", model.KindSupply, 12, model.Terminal{Mark: "+", Role: model.RoleRail}, model.Terminal{Mark: "-", Role: model.RoleReturn})
	device("H1", model.KindLamp, 12, model.Terminal{Mark: "+", Role: model.RoleFeed}, model.Terminal{Mark: "-", Role: model.RoleReturn})
	last := ref("G1", "+")
	for i := range plugs {
		name := fmt.Sprintf("X%d", i+1)
		device(name, model.KindConnector, 0, model.Terminal{Mark: "1", Role: model.RolePass}, model.Terminal{Mark: "2", Role: model.RolePass})
		add(model.Link{Device: name, From: "1", To: "2", Kind: model.LinkSolid})
		wire(last, ref(name, "1"))
		last = ref(name, "2")
	}
	wire(last, ref("H1", "+"))
	wire(ref("H1", "-"), ref("G1", "-"))
	if shows != nil {
		add(model.Reading{Number: 1, Red: ref("G1", "+"), Black: ref("H1", "+"), Mode: model.ModeOhms, Value: *shows, Drift: model.DriftSteady})
	}
	m := model.NewMachine()
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	return m
}

// A table can hold a chain of 100,000 links, and the next probe on it must come
// while somebody still waits: worked out link by link, each over the whole chain,
// it took four minutes, and 36 with a reading to explain. Measured now: 3 and 5 s
// of processor time; the limit leaves room for a machine that does other things.
func TestTheNextProbeOnAChainOfManyLinks(t *testing.T) {
	if testing.Short() {
		t.Skip("a large machine")
	}
	const links, limit = 100_000, 100 * time.Second
	for name, shows := range map[string]*model.Value{"nothing read": nil, "read as open": {Kind: model.ShowsOL}} {
		m := daisyChain(t, links/2, shows)
		began := time.Now()
		proposal := New(faults.Diagnose(m), Options{}).Next()
		if took := time.Since(began); took > limit {
			t.Errorf("%s: the next probe took %v", name, took)
		}
		if proposal.Probe == nil {
			t.Fatalf("%s: no probe: %s", name, proposal.Reason)
		}
		if shows == nil && (proposal.Probe.Red.String() != "G1:+" || proposal.Probe.Black.String() != "H1:+" || len(proposal.Proves) == 0) {
			t.Errorf("%s: the ends of the chain are to be probed, not %+v", name, proposal.Probe)
		}
	}
}
