package scene

import (
	"testing"

	"bellout/app/session"
)

func TestFind(t *testing.T) {
	s := demoScene()
	for _, test := range []struct {
		words string
		kind  session.Kind
		name  string
	}{
		{"A2", session.Device, "A2"},
		{"a2", session.Device, "A2"},
		{"gate camera", session.Device, "B7"},
		{"camera", session.Device, "B7"},
		{"B7:VCC", session.Terminal, "B7:VCC"},
		{"W206", session.Wire, "W206"},
		{"J", session.Device, "J1"},
		{"bridge", session.Device, ""},     // a zone
		{"green-yellow", session.Wire, ""}, // a colour in words
		{"GNYE", session.Wire, ""},         // and as its code
		{"violet", session.Wire, ""},
		{"+24V", session.Net, ""},
		{"solenoid", session.Device, ""}, // a kind
	} {
		found := s.Find(test.words)
		if len(found) == 0 {
			t.Errorf("%q finds nothing", test.words)
			continue
		}
		if first := found[0]; first.Kind != test.kind || test.name != "" && first.Name != test.name {
			t.Errorf("%q finds %+v first, want kind %d %s", test.words, first, test.kind, test.name)
		}
		for _, match := range found {
			if _, there := s.Place(match.Selection); !there {
				t.Errorf("%q finds %s, which is nowhere on the chart", test.words, match.Text)
			}
		}
	}
	if found := s.Find("no such thing"); len(found) != 0 {
		t.Errorf("found %+v", found)
	}
	if found := s.Find("  "); len(found) != 0 {
		t.Errorf("blanks find %d things", len(found))
	}
}

func TestEveryDeviceAndWireIsFoundByItsName(t *testing.T) {
	s := demoScene()
	for _, device := range s.view.Machine.Devices {
		if found := s.Find(device.Ref); len(found) == 0 || found[0].Name != device.Ref {
			t.Errorf("%s is not the first to be found by its reference", device.Ref)
		}
	}
	for _, wire := range s.view.Machine.Wires {
		if found := s.Find(wire.Name); len(found) == 0 || found[0].Name != wire.Name {
			t.Errorf("%s is not the first to be found by its name", wire.Name)
		}
	}
}
