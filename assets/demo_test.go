package assets

import (
	"bytes"
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"bellout/model"
	"bellout/model/tables"
)

// demoMachine imports one state of the demo machine.
func demoMachine(t *testing.T, state string) *model.Machine {
	t.Helper()
	content, err := tables.ReadFS(context.Background(), Demo(state), state)
	if err != nil {
		t.Fatal(err)
	}
	m, err := content.Machine()
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestDemoIsKeptInTheFormOfAnExport(t *testing.T) {
	for _, state := range DemoStates {
		dir := t.TempDir()
		if err := tables.WriteFolder(context.Background(), demoMachine(t, state), dir, false); err != nil {
			t.Fatal(err)
		}
		for _, table := range tables.Tables {
			want, errWant := fs.ReadFile(Demo(state), table.File())
			got, errGot := os.ReadFile(filepath.Join(dir, table.File()))
			if errors.Is(errWant, fs.ErrNotExist) && errors.Is(errGot, fs.ErrNotExist) {
				continue // a table that an export leaves out where it has no row
			}
			if err := errors.Join(errWant, errGot); err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(got, want) {
				t.Errorf("%s/%s is not as an export writes it", state, table.File())
			}
		}
	}
}

func TestDemoIsTheMachineThatItsTextTellsOf(t *testing.T) {
	found, repaired := demoMachine(t, AsFound), demoMachine(t, AsRepaired)
	for state, m := range map[string]*model.Machine{AsFound: found, AsRepaired: repaired} {
		if n := len(m.Devices); n < 60 || n > 100 {
			t.Errorf("%s: %d devices, want 60 to 100", state, n)
		}
		if n := len(m.Readings); n < 40 {
			t.Errorf("%s: %d readings, want at least 40", state, n)
		}
		for _, wire := range m.Wires {
			if wire.Gauge == (model.Gauge{}) || !wire.LengthMetres.Known || wire.Colour == "" {
				t.Errorf("%s: %s has no gauge, length or colour", state, wire.Name)
			}
		}
	}
	failed := 0
	for _, device := range found.Devices {
		if device.Health == model.HealthFailed {
			failed++
			if device.FailedAt.IsZero() {
				t.Errorf("nobody knows when %s failed", device.Ref)
			}
		}
	}
	if failed != 3 {
		t.Errorf("%d devices have failed, want 3", failed)
	}
	for _, device := range repaired.Devices {
		if device.Health != model.HealthOK {
			t.Errorf("%s is %s after the repair", device.Ref, device.Health)
		}
	}
	struck := 0
	for _, reading := range found.Readings {
		if !reading.Stands() {
			struck++
		}
	}
	if struck == 0 {
		t.Error("no reading is struck out")
	}
	// The two are one map but for the wires that the repair took out.
	for _, wire := range found.Wires {
		other, there := repaired.Wire(wire.Name)
		if !there || other.From != wire.From || other.To != wire.To {
			t.Errorf("%s runs otherwise after the repair", wire.Name)
		}
		if taken := wire.Name == "W228" || wire.Name == "W229"; other.Removed != taken || wire.Removed {
			t.Errorf("%s: removed %v as found, %v as repaired", wire.Name, wire.Removed, other.Removed)
		}
	}
	if len(found.Terminals) != len(repaired.Terminals) || len(found.Links) != len(repaired.Links) {
		t.Error("the repair changed what the devices are")
	}
}

func TestDemoOfNoStateHoldsNothing(t *testing.T) {
	if _, err := fs.ReadFile(Demo("../as-found"), "devices.csv"); err == nil {
		t.Error("a state that is none has devices")
	}
}
