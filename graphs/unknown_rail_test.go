package graphs

import (
	"testing"
	"time"

	"bellout/model"
)

// A wire of no length to speak of beside a rail whose volts nobody knows: the
// search for what shifts with that rail went on for ever.
func TestARailOfUnknownVoltsBehindAWireOfNoLength(t *testing.T) {
	b := newBench(t)
	b.terminal("G1:+", model.RoleRail)
	b.terminal("G1:-", model.RoleReturn)
	b.terminal("X1:1", model.RolePass)
	b.wire("X1:1", "G1:-", 1e-308)
	done := make(chan bool)
	go func() {
		b.circuit().Operate(LoadsAsCurrents)
		close(done)
	}()
	select {
	case <-done:
	case <-time.After(10 * time.Second):
		t.Fatal("it goes on")
	}
}
