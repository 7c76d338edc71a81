package scene

import (
	"image"
	"image/color"
	"testing"

	"bellout/app/drawing"
	"bellout/app/drawing/screen"
	"bellout/app/session"

	"pgregory.net/rapid"
)

// Whatever a person does, in whatever order: the frame that keeps what it can of
// the last one is the frame drawn from nothing.
func TestAKeptPictureIsTheWholePicture(t *testing.T) {
	s := demoScene()
	failed := s.Light(session.Selection{Kind: session.Device, Name: "M3"}, session.Highlight{})
	rapid.Check(t, func(t *rapid.T) {
		var moving Moving
		const width, height = 420, 300
		pixels := rapid.SampledFrom([]float64{1, 1.5, 2}).Draw(t, "pixels")
		f := &Frame{Width: width, Height: height, Palette: &day, Lit: &Lit{}}
		f.Camera = Camera{Scale: rapid.SampledFrom([]float64{0.11, 0.3, 0.5, 1, 1.37}).Draw(t, "scale")}.CentredOn(middle(s.Bounds()), width, height)
		// No edge of a line in the middle of a pixel but for the last digit of its
		// place: it would fall either way.
		f.Camera = f.Camera.Panned(0.1234567, 0.0765432)
		for range rapid.IntRange(1, 8).Draw(t, "moves") {
			switch rapid.SampledFrom([]string{"pan", "pan", "pan", "part", "zoom", "light", "legend", "night"}).Draw(t, "what") {
			case "pan":
				f.Camera = f.Camera.Panned(float64(rapid.IntRange(-300, 300).Draw(t, "right"))/pixels, float64(rapid.IntRange(-200, 200).Draw(t, "down"))/pixels)
			case "part":
				f.Camera = f.Camera.Panned(0.4, -7.3)
			case "zoom":
				f.Camera = f.Camera.Zoomed(middle(s.Bounds()), 1.2)
			case "light":
				f.Lit = failed
			case "legend":
				f.Legend = !f.Legend
			case "night":
				f.Palette = &night
			}
			w, h := int(width*pixels), int(height*pixels)
			got := moving.Frame(s, f, w, h, pixels)
			var whole screen.Buffer
			scale := f.Scale * pixels
			whole.Begin(w, h, f.Palette.Ground, scale, -f.Origin.X*scale, -f.Origin.Y*scale)
			s.Draw(&whole, f)
			// Slanted strokes are smoothed with a rounding that depends on where the part
			// begins that they are drawn in: their edges differ by a shade.
			const shade = 24
			if off := apart(got.Image(), whole.Image(), shade); off > 0 {
				t.Fatalf("at %+v, %v pixels a unit: %d pixels differ from the whole picture", f.Camera, pixels, off)
			}
		}
	})
}

// A pan draws the edge that came in and no more.
func TestAPanDrawsWhatCameIn(t *testing.T) {
	s := demoScene()
	var moving Moving
	f := &Frame{Width: 400, Height: 300, Palette: &day, Lit: &Lit{}, Camera: Camera{Scale: 0.5}}
	moving.Frame(s, f, 400, 300, 1)
	if moving.Drawn != 400*300 {
		t.Errorf("the first frame drew %d pixels", moving.Drawn)
	}
	f.Camera = f.Camera.Panned(7, -3)
	moving.Frame(s, f, 400, 300, 1)
	if most := 7*300 + 3*400; moving.Drawn > most || moving.Drawn == 0 {
		t.Errorf("a pan by 7, -3 drew %d pixels, want at most %d", moving.Drawn, most)
	}
	f.Selected = session.Selection{Kind: session.Device, Name: "M3"}
	moving.Frame(s, f, 400, 300, 1)
	if moving.Drawn != 0 {
		t.Errorf("a frame round what is selected drew %d pixels of the chart anew", moving.Drawn)
	}
}

// apart counts the bytes of two pictures that differ by more than that.
func apart(a, b *image.RGBA, most int) int {
	count := 0
	for i, value := range a.Pix {
		if off := int(value) - int(b.Pix[i]); off > most || off < -most {
			count++
		}
	}
	return count
}

// Where wires are too many for anything but lines as thin as can be, what is
// proven is still told from what is not, and both from what is blamed: by pattern
// and by lightness, as in a picture without colour.
func TestProofIsToldAmongVeryManyWires(t *testing.T) {
	s := strewn(t, throng+1000, 9000, 900)
	shades := func(status Status) (dark, count int) {
		// One long wire, alone in its part of the sheet, among all the others.
		points := []drawing.Point{{X: -400, Y: 100}, {X: -100, Y: 100}}
		s.wires[0].points, s.wires[0].longest, s.wires[0].status = points, [2]drawing.Point{points[0], points[1]}, status
		s.wires[0].colours = s.wires[0].colours[:1]
		s.extents[0] = span(points[0], points[1])
		s.boxes[0].here = false
		var b screen.Buffer
		f := &Frame{Camera: Camera{Scale: 0.5, Origin: drawing.Point{X: -420}}, Width: 4800, Height: 450, Palette: &day, Lit: &Lit{}}
		f.look(s)
		if !s.crowdingOf(f).throng {
			t.Fatal("the wires are too few to be a throng")
		}
		b.Begin(4800, 450, day.Ground, f.Scale, -f.Origin.X*f.Scale, 0)
		s.Draw(&b, f)
		for y := 40; y < 60; y++ {
			for x := 20; x < 140; x++ {
				c := b.Image().RGBAAt(x, y)
				if light := int(c.R) + int(c.G) + int(c.B); c.R != day.Ground.R || c.G != day.Ground.G {
					dark, count = dark+765-light, count+1
				}
			}
		}
		return dark / max(count, 1), count
	}
	provenDark, provenCount := shades(Proven)
	dottedDark, dottedCount := shades(Unproven)
	_, heavyCount := shades(Contradicted)
	if provenCount != 120 || dottedCount < 50 || dottedCount > 70 {
		t.Errorf("of 120 pixels a proven wire takes %d, one that is not %d; want a whole line and a dotted one", provenCount, dottedCount)
	}
	if dottedDark < provenDark+150 {
		t.Errorf("a wire that is not proven is as dark as %d, a proven one %d: they are hardly told apart", dottedDark, provenDark)
	}
	if heavyCount < 3*120 {
		t.Errorf("a wire that is blamed takes %d pixels, want three lines of them", heavyCount)
	}
}

// Wires that lie so close together that they touch, as a whole machine has them
// from afar: those that no reading proves make a hatching, even where each begins
// somewhere else, and those that are proven a field without one.
func TestFarOffWiresAreHatched(t *testing.T) {
	s := strewn(t, 300, 1000, 1000)
	field := func(status Status) (turns, along int) {
		for i := range s.wires {
			points := []drawing.Point{{X: float64(i*37%50) * -7, Y: 3000 + 16*float64(i)}, {X: 9000, Y: 3000 + 16*float64(i)}}
			s.wires[i].points, s.wires[i].longest, s.wires[i].status = points, [2]drawing.Point{points[0], points[1]}, status
			s.wires[i].colours = []color.NRGBA{drawing.RGB(0x1B2226)}
			s.extents[i] = span(points[0], points[1])
		}
		f := &Frame{Camera: Camera{Scale: 0.03}, Width: 300, Height: 300, Palette: &day, Lit: &Lit{}}
		b := paint(s, f, 1).Image()
		for y := 100; y < 200; y++ {
			for x := 100; x < 200; x++ {
				if b.RGBAAt(x+3, y) != b.RGBAAt(x, y) { // half a turn of the pattern
					turns++
				}
				if b.RGBAAt(x+1, y-1) == b.RGBAAt(x, y) {
					along++
				}
			}
		}
		return turns, along
	}
	if turns, _ := field(Proven); turns != 0 {
		t.Errorf("a field of proven wires changes its shade %d times", turns)
	}
	if turns, along := field(Unproven); turns < 5000 || along < 9500 {
		t.Errorf("of 10000 pixels %d differ from the one half a turn further on, %d are as the one aslant above: that is no hatching", turns, along)
	}
}

// A hasty frame of what takes long is coarse, and the one that follows is sharp.
func TestAHastyFrameIsMadeUpFor(t *testing.T) {
	s := demoScene()
	var moving Moving
	f := &Frame{Width: 400, Height: 300, Palette: &day, Lit: &Lit{}, Camera: Fitted(s.Bounds(), 400, 300, 10, 1)}
	moving.Frame(s, f, 400, 300, 1)
	moving.took = 2 * patience
	f.Camera = f.Camera.Zoomed(drawing.Point{X: 200, Y: 150}, 1.2)
	f.Hasty = true
	moving.Frame(s, f, 400, 300, 1)
	if !moving.Coarse || moving.Drawn != 0 {
		t.Errorf("a hasty frame drew %d pixels; coarse is %v", moving.Drawn, moving.Coarse)
	}
	f.Hasty = false
	got := moving.Frame(s, f, 400, 300, 1)
	if off := apart(got.Image(), paint(s, f, 1).Image(), 24); off > 0 || moving.Coarse {
		t.Errorf("the frame that follows differs in %d places from the whole picture", off)
	}
	moving.took = patience / 2 // quick enough: there is no need
	f.Camera = f.Camera.Zoomed(drawing.Point{X: 200, Y: 150}, 1.2)
	f.Hasty = true
	if moving.Frame(s, f, 400, 300, 1); moving.Coarse {
		t.Error("a frame that takes no time is coarse")
	}
}
