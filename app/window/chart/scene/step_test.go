package scene

import (
	"testing"

	"pgregory.net/rapid"

	"bellout/app/session"
)

// TestStepsNeverLeaveTheChart walks at random: every step ends on something that
// is there, and a step along a wire ends at its other end.
func TestStepsNeverLeaveTheChart(t *testing.T) {
	s := demoScene()
	rapid.Check(t, func(t *rapid.T) {
		b := &s.boxes[rapid.IntRange(0, len(s.boxes)-1).Draw(t, "box")]
		at := session.Selection{Kind: session.Device, Name: b.Device}
		for range rapid.IntRange(1, 30).Draw(t, "steps") {
			switch rapid.IntRange(0, 4).Draw(t, "how") {
			case 0:
				at = s.Into(at)
			case 1:
				at = s.Next(at, rapid.Bool().Draw(t, "forward"))
			default:
				at = s.Step(at, Direction(rapid.IntRange(0, 3).Draw(t, "direction")))
			}
			if _, there := s.Place(at); !there {
				t.Fatalf("led to %+v, which is not there", at)
			}
		}
	})
}

func TestNextAndBackIsWhereOneWas(t *testing.T) {
	s := demoScene()
	for i := range s.boxes {
		from := session.Selection{Kind: session.Device, Name: s.boxes[i].Device}
		if back := s.Next(s.Next(from, true), false); back != from {
			t.Errorf("from %s forth and back leads to %s", from.Name, back.Name)
		}
	}
	for i := range s.wires {
		from := session.Selection{Kind: session.Wire, Name: s.Plan.Wires[i].Wire}
		if back := s.Next(s.Next(from, true), false); back != from {
			t.Errorf("from %s forth and back leads to %s", from.Name, back.Name)
		}
	}
}

// TestEveryTerminalIsReachedFromTheKeyboard: into a device, then on and on.
func TestEveryTerminalIsReachedFromTheKeyboard(t *testing.T) {
	s := demoScene()
	for i := range s.boxes {
		b := &s.boxes[i]
		seen := map[string]bool{}
		at := s.Into(session.Selection{Kind: session.Device, Name: b.Device})
		for range b.ports {
			seen[at.Name] = true
			at = s.Next(at, true)
		}
		if len(seen) != len(b.ports) {
			t.Errorf("%d of %d terminals of %s are reached", len(seen), len(b.ports), b.Device)
		}
	}
}
