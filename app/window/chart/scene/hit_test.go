package scene

import (
	"testing"

	"pgregory.net/rapid"

	"bellout/app/drawing"
	"bellout/app/session"
	"bellout/graphs/layout"
)

func TestEveryTerminalIsHitWhereItIsDrawn(t *testing.T) {
	s := demoScene()
	for i := range s.boxes {
		for j := range s.boxes[i].ports {
			p := &s.boxes[i].ports[j]
			for _, at := range []drawing.Point{p.at, p.far} {
				if hit := s.At(at, 1); hit.Kind != session.Terminal || hit.Name != s.boxes[i].Ports[j].Terminal.String() {
					t.Errorf("at terminal %s lies %+v", s.boxes[i].Ports[j].Terminal, hit)
				}
			}
		}
	}
}

func TestATerminalGoesBeforeItsWireAndAWireBeforeTheSheet(t *testing.T) {
	s := demoScene()
	w := &s.wires[0]
	end := w.points[0]
	if hit := s.At(end, 1); hit.Kind != session.Terminal {
		t.Errorf("at the end of a wire lies %+v, want its terminal", hit)
	}
	at := middle(drawing.Box{Min: w.longest[0], Max: w.longest[1]})
	if hit := s.At(at, 1); hit.Kind != session.Wire {
		t.Errorf("in the middle of %s lies %+v", s.Plan.Wires[0].Wire, hit)
	}
	if hit := s.At(drawing.Point{X: s.Plan.Bounds.Min.X - 500, Y: s.Plan.Bounds.Min.Y}, 1); hit.Kind != session.Nothing {
		t.Errorf("beside the chart lies %+v", hit)
	}
}

func TestALabelMeansWhatItNames(t *testing.T) {
	s := demoScene()
	want := map[layout.LabelKind]session.Kind{layout.Reference: session.Device, layout.Title: session.Device, layout.Mark: session.Terminal, layout.WireName: session.Wire}
	seen := map[layout.LabelKind]int{}
	for i := range s.Plan.Labels {
		label := &s.Plan.Labels[i]
		kind, there := want[label.Kind]
		if !there {
			continue
		}
		// From near by, so that no neighbour is within reach.
		hit := s.At(middle(boxOf(label.Rect)), 6)
		if hit.Kind == kind {
			seen[label.Kind]++
		} else if hit.Kind == session.Nothing {
			t.Errorf("at label %q lies nothing", label.Text)
		}
	}
	for kind := range want {
		if seen[kind] == 0 {
			t.Errorf("no label of kind %d leads to what it names", kind)
		}
	}
}

// TestTheGridFindsWhatAPlainSearchFinds compares the index with asking everything.
func TestTheGridFindsWhatAPlainSearchFinds(t *testing.T) {
	s := demoScene()
	bounds := s.Bounds()
	rapid.Check(t, func(t *rapid.T) {
		p := drawing.Point{
			X: rapid.Float64Range(bounds.Min.X-50, bounds.Max.X+50).Draw(t, "x"),
			Y: rapid.Float64Range(bounds.Min.Y-50, bounds.Max.Y+50).Draw(t, "y"),
		}
		scale := rapid.Float64Range(0.3, 4).Draw(t, "scale")
		got := s.At(p, scale)
		whole := s.grid
		s.grid = &grid{columns: 1, rows: 1, first: []int32{0, int32(len(everything(s)))}, items: everything(s)}
		want := s.At(p, scale)
		s.grid = whole
		if got != want {
			t.Fatalf("the grid finds %+v, a plain search %+v", got, want)
		}
	})
}

func everything(s *Scene) []item {
	var all []item
	s.each(func(_ drawing.Box, it item) { all = append(all, it) })
	return all
}
