package scene

import (
	"image/color"
	"testing"

	"pgregory.net/rapid"

	"bellout/app/drawing"
	"bellout/graphs/layout"
	"bellout/model"
)

func TestAWayWithCrossingsKeepsItsInkButForTheGaps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points := []drawing.Point{{}}
		var hops []layout.Point
		for i := range rapid.IntRange(1, 6).Draw(t, "runs") {
			last := points[len(points)-1]
			length := rapid.Float64Range(1, 200).Draw(t, "length")
			next := last
			if i%2 == 0 {
				next.X += length
				for x := range rapid.IntRange(0, 4).Draw(t, "hops") {
					hops = append(hops, layout.Point{X: last.X + length*(float64(x)+0.5)/5, Y: last.Y})
				}
			} else {
				next.Y += length
			}
			points = append(points, next)
		}
		ink := 0.0
		for _, piece := range split(points, hops) {
			if len(piece) < 2 {
				t.Fatalf("a piece of one point: %v", piece)
			}
			for i := 1; i < len(piece); i++ {
				if piece[i].X != piece[i-1].X && piece[i].Y != piece[i-1].Y {
					t.Fatalf("the piece %v is slanted", piece)
				}
				if piece[i].X < piece[i-1].X {
					t.Fatalf("the piece %v leads back", piece)
				}
				ink += manhattan(piece[i-1], piece[i])
			}
		}
		whole := 0.0
		for i := 1; i < len(points); i++ {
			whole += manhattan(points[i-1], points[i])
		}
		const hair = 1e-9
		if ink > whole+hair || ink < whole-2*hopGap*float64(len(hops))-hair {
			t.Fatalf("%v of %v is drawn with %d crossings", ink, whole, len(hops))
		}
	})
}

func TestEveryColourOfTheTableIsDrawnAndNamed(t *testing.T) {
	for _, code := range model.ColourCodes {
		if len(drawing.Insulation(model.Colour(code))) != 1 || drawing.ColourWords(model.Colour(code)) == "" {
			t.Errorf("%s has no look or no name", code)
		}
		for _, palette := range []*Palette{&day, &night} {
			s := &Scene{}
			k := s.scratch.inkOf(palette, drawing.Insulation(model.Colour(code))[0])
			if !k.cased && contrast(drawing.Insulation(model.Colour(code))[0], palette.Ground) < leastSeen {
				t.Errorf("%s is not seen on %v", code, palette.Ground)
			}
			if k.cased && contrast(k.casing, palette.Ground) < 3 { // WCAG 2.1, 1.4.11: graphics
				t.Errorf("the edge of %s has a contrast of %.2f on %v, want 3", code, contrast(k.casing, palette.Ground), palette.Ground)
			}
		}
	}
	if got := drawing.Insulation(model.GreenYellow); len(got) != 2 || got[0] != drawing.Insulation("GN")[0] || got[1] != drawing.Insulation("YE")[0] {
		t.Errorf("GNYE is drawn as %v", got)
	}
	if drawing.Insulation("") != nil {
		t.Error("a colour that nobody knows is drawn as one")
	}
}

func TestNoTwoColoursOfTheTableLookAlike(t *testing.T) {
	far := func(a, b color.NRGBA) int {
		d := func(x, y uint8) int { return (int(x) - int(y)) * (int(x) - int(y)) }
		return d(a.R, b.R) + d(a.G, b.G) + d(a.B, b.B)
	}
	for i, one := range model.ColourCodes {
		for _, other := range model.ColourCodes[:i] {
			if far(drawing.Insulation(model.Colour(one))[0], drawing.Insulation(model.Colour(other))[0]) < 40*40 {
				t.Errorf("%s and %s are nearly one colour", one, other)
			}
		}
	}
}

// recorder is a pen that notes what is drawn.
type recorder struct {
	drawing.Pen
	lines  []drawing.Stroke
	ways   [][]drawing.Point
	texts  []string
	shapes int
}

func (r *recorder) Line(points []drawing.Point, stroke drawing.Stroke) {
	r.lines, r.ways = append(r.lines, stroke), append(r.ways, points)
}
func (r *recorder) Polygon([]drawing.Point, drawing.Stroke, color.NRGBA)        { r.shapes++ }
func (r *recorder) Rectangle(drawing.Box, float64, drawing.Stroke, color.NRGBA) { r.shapes++ }
func (r *recorder) Circle(drawing.Point, float64, drawing.Stroke, color.NRGBA)  { r.shapes++ }
func (r *recorder) Text(text drawing.Text)                                      { r.texts = append(r.texts, text.Text) }

func record(s *Scene, f Frame) *recorder {
	r := &recorder{}
	if f.Palette == nil {
		f.Palette = &day
	}
	if f.Lit == nil {
		f.Lit = &Lit{}
	}
	s.Draw(r, &f)
	return r
}

func TestStatusIsToldWithoutColour(t *testing.T) {
	s := demoScene()
	f := Frame{Camera: Fitted(s.Bounds(), 4000, 3000, 0, 1), Width: 4000, Height: 3000}
	dashed := func(name string) bool {
		at, _ := s.Plan.Wire(name)
		for i, way := range record(s, f).ways {
			w := &s.wires[at]
			if manhattan(way[0], w.points[0]) == 0 && len(way) > 1 && onRun(w.points[0], w.points[1], way[1]) {
				return record(s, f).lines[i].Dash != nil
			}
		}
		t.Fatalf("%s is not drawn", name)
		return false
	}
	var proven, unproven, blamed string
	for i := range s.wires {
		name := s.Plan.Wires[i].Wire
		if len(s.wires[i].colours) != 1 {
			continue
		}
		switch s.wires[i].status {
		case Proven:
			proven = name
		case Unproven:
			unproven = name
		case Contradicted:
			blamed = name
		}
	}
	if proven == "" || unproven == "" || blamed == "" {
		t.Fatal("the demo machine as found should have wires that are proven, not proven, and blamed")
	}
	if dashed(proven) {
		t.Errorf("%s is proven and drawn dashed", proven)
	}
	if !dashed(unproven) {
		t.Errorf("%s is not proven and drawn whole", unproven)
	}
	texts := map[string]int{}
	for _, text := range record(s, f).texts {
		texts[text]++
	}
	if texts["!"] == 0 {
		t.Error("no flag on what findings blame")
	}
	if texts["FAILED"] != 3 {
		t.Errorf("the word FAILED stands %d times, three devices failed", texts["FAILED"])
	}
	if texts["?"] == 0 {
		t.Error("no question mark on devices of which nobody knows")
	}
}
