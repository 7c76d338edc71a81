package scene

import (
	"testing"

	"bellout/app/drawing"
	"bellout/app/session"

	"pgregory.net/rapid"
)

// What another state of the machine had is drawn from terminal to terminal, in
// dashes, along the axes, and through neither device that it ends at.
func TestAWireThatIsGoneIsDrawnWhereItWas(t *testing.T) {
	s := demoScene()
	f := &Frame{Width: 1400, Height: 900, Palette: &day, Lit: &Lit{}, Camera: Fitted(s.Bounds(), 1400, 900, 14, 1)}
	before := paint(s, f, 1)
	f.Gone = []session.Gone{{Name: "W900", From: "F1:2", To: "M1:+"}}
	after := paint(s, f, 1)
	red := 0
	for i := 0; i < len(after.Image().Pix); i += 4 {
		p, q := after.Image().Pix[i:i+3], before.Image().Pix[i:i+3]
		if p[0] == day.Bad.R && p[1] == day.Bad.G && p[2] == day.Bad.B && (p[0] != q[0] || p[1] != q[1]) {
			red++
		}
	}
	from, _ := s.Port("F1:2")
	to, _ := s.Port("M1:+")
	// Two pixels wide, half of it gaps, and no longer than three times the way.
	if way := manhattan(from, to) * f.Scale; float64(red) < 0.6*way || float64(red) > 4*way {
		t.Errorf("%d pixels of it are drawn, between ends %v pixels apart", red, way)
	}
	var terminals []string
	for i := range s.boxes {
		for j := range s.boxes[i].Ports {
			terminals = append(terminals, s.boxes[i].Ports[j].Terminal.String())
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		w := session.Gone{Name: "W900", From: rapid.SampledFrom(terminals).Draw(t, "from"), To: rapid.SampledFrom(terminals).Draw(t, "to")}
		if w.From == w.To {
			return
		}
		f.look(s)
		d := &drawer{Scene: s, Frame: f}
		way := d.goneWay(w, rapid.IntRange(0, 9).Draw(t, "i"))
		ends := func(name string, p drawing.Point) bool {
			end, _ := s.end(name)
			port := &s.boxes[end.Box].ports[end.Port]
			return p == port.at || p == port.far
		}
		if len(way) < 4 || !ends(w.From, way[0]) || !ends(w.To, way[len(way)-1]) {
			t.Fatalf("%+v is drawn along %v", w, way)
		}
		for i := 1; i < len(way); i++ {
			if way[i-1].X != way[i].X && way[i-1].Y != way[i].Y {
				t.Fatalf("%+v runs aslant from %v to %v", w, way[i-1], way[i])
			}
		}
		// Its first and last runs lead away from the device.
		for _, run := range [][3]drawing.Point{{way[0], way[1]}, {way[len(way)-1], way[len(way)-2]}} {
			for i := range s.boxes {
				body := s.boxes[i].body
				inside := drawing.Point{X: (run[0].X*9 + run[1].X) / 10, Y: run[0].Y}
				if (run[0].X == body.Min.X || run[0].X == body.Max.X) && inside.X > body.Min.X && inside.X < body.Max.X && within(body, inside) {
					t.Fatalf("%+v runs into %s: %v", w, s.boxes[i].Device, way)
				}
			}
		}
	})
	d := &drawer{Scene: s, Frame: f}
	if way := d.goneWay(session.Gone{From: "F1:2", To: "NOWHERE:1"}, 0); len(way) != 2 {
		t.Errorf("a wire to a device that is gone too is drawn along %v", way)
	}
	if way := d.goneWay(session.Gone{From: "NOWHERE:2", To: "NOWHERE:1"}, 0); way != nil {
		t.Errorf("a wire between devices that are gone is drawn along %v", way)
	}
}
