package scene

import (
	"testing"

	"bellout/app/session"
)

func TestASelectedWireBringsOutItsNetAndNoOther(t *testing.T) {
	s := demoScene()
	for i := range s.wires {
		l := s.Light(session.Selection{Kind: session.Wire, Name: s.Plan.Wires[i].Wire}, session.Highlight{})
		for j := range s.wires {
			if lit := l.wires[j] != 0; lit != (s.wires[j].net == s.wires[i].net) {
				t.Fatalf("with %s selected %s stands out: %v", s.Plan.Wires[i].Wire, s.Plan.Wires[j].Wire, lit)
			}
		}
	}
}

func TestASelectedDeviceBringsOutEveryWireAtIt(t *testing.T) {
	s := demoScene()
	for i := range s.boxes {
		l := s.Light(session.Selection{Kind: session.Device, Name: s.boxes[i].Device}, session.Highlight{})
		for j := range s.Plan.Wires {
			if route := &s.Plan.Wires[j]; (route.From.Box == i || route.To.Box == i) && l.wires[j] == 0 {
				t.Errorf("with %s selected its wire %s steps back", s.boxes[i].Device, route.Wire)
			}
		}
		if !l.boxes[i] {
			t.Errorf("%s itself steps back", s.boxes[i].Device)
		}
	}
}

func TestAFindingBringsOutWhatItNames(t *testing.T) {
	s := demoScene()
	for i, finding := range s.view.Report.Findings {
		l := s.Light(session.Selection{Kind: session.Finding, Finding: i}, session.Highlight{})
		for _, name := range finding.Wires {
			if at, there := s.Plan.Wire(name); there && l.wires[at] == 0 {
				t.Errorf("finding %d names %s, which steps back", i, name)
			}
		}
		for _, name := range finding.Devices {
			if at, there := s.Plan.Box(name); there && !l.boxes[at] {
				t.Errorf("finding %d names %s, which steps back", i, name)
			}
		}
	}
}

// TestPathsAreToldApartWithoutColour: each kind has a pattern or a letter of its
// own.
func TestPathsAreToldApartWithoutColour(t *testing.T) {
	seen := map[string]PathKind{}
	for kind := Feed; kind < PathKinds; kind++ {
		if letters[kind] == "" || PathNames[kind] == "" {
			t.Errorf("kind %d has no letter or no name", kind)
		}
		if other, taken := seen[letters[kind]]; taken {
			t.Errorf("%s and %s have one letter", PathNames[kind], PathNames[other])
		}
		seen[letters[kind]] = kind
		for other := Feed; other < kind; other++ {
			if len(patterns[kind]) == len(patterns[other]) && same(patterns[kind], patterns[other]) {
				t.Errorf("%s and %s have one pattern", PathNames[kind], PathNames[other])
			}
		}
		s := demoScene()
		name := s.Plan.Wires[0].Wire
		f := Frame{Camera: Fitted(s.Bounds(), 4000, 3000, 0, 1), Width: 4000, Height: 3000}
		f.Lit = s.Light(session.Selection{}, session.Highlight{Strands: []session.Strand{{Kind: PathNames[kind], Wires: []string{name}}}})
		written := false
		for _, text := range record(s, f).texts {
			written = written || text == letters[kind]
		}
		if !written {
			t.Errorf("no letter stands on a %s path", PathNames[kind])
		}
	}
}

func same(a, b []float64) bool {
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}
