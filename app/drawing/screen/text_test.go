package screen

import (
	"fmt"
	"image"
	"math"
	"testing"

	"bellout/app/drawing"
)

func text(x, y, size float64, words string) drawing.Text {
	return drawing.Text{At: at(x, y), Text: words, Size: size, Colour: black}
}

// Text lies where Measure says, whatever end of it stands at its point, and
// upward text is the same text turned.
func TestTextLiesWhereMeasureSays(t *testing.T) {
	for _, words := range []string{"HHHH", "X2 → G", "ווו", "4.7 kΩ"} {
		for _, size := range []float64{9, 14, 40, 150} {
			length := drawing.Measure(words, size, drawing.Regular)
			for i, align := range []drawing.Align{drawing.Left, drawing.Centre, drawing.Right} {
				b := frame(1400, 1400)
				written := text(700, 700, size, words)
				written.Align = align
				b.Text(written)
				ink, lying := dark(b)
				start := 700 - length*float64(i)/2
				if float64(lying.Min.X) < start-1 || float64(lying.Max.X) > start+length+1 || float64(lying.Dx()) < length-0.25*size {
					t.Errorf("%q at %g, align %d: ink in %v, want from %g to %g", words, size, i, lying, start, start+length)
				}
				if lying.Max.Y > 700+int(0.3*size)+1 || lying.Min.Y < 700-int(size)-1 {
					t.Errorf("%q at %g: ink in rows %v, base line 700", words, size, lying)
				}
				b = frame(1400, 1400)
				written.Upward = true
				b.Text(written)
				turned, upright := dark(b)
				if math.Abs(turned-ink) > 0.04*ink || upright.Dx() < lying.Dy()-2 || upright.Dx() > lying.Dy()+2 {
					t.Errorf("%q at %g upward: %g ink in %v, lying %g in %v", words, size, turned, upright, ink, lying)
				}
				if middle := (700*2 - (float64(lying.Min.X+lying.Max.X) - 1400)) / 2; math.Abs(middle-float64(upright.Min.Y+upright.Max.Y)/2) > 2 {
					t.Errorf("%q at %g upward: its middle is in row %d, want %g", words, size, (upright.Min.Y+upright.Max.Y)/2, middle)
				}
			}
		}
	}
}

func TestSmallTextIsABarThenNothing(t *testing.T) {
	length := drawing.Measure("joint limit", 4, drawing.Regular)
	b := frame(100, 40)
	b.Text(text(10, 20, 4, "joint limit"))
	if ink, box := dark(b); box.Dy() != 1 || math.Abs(float64(box.Dx())-length) > 1 || ink < 0.2*length || ink > 0.5*length {
		t.Errorf("a bar of %g ink in %v, want %g long", ink, box, length)
	}
	if b.Legible(4) || !b.Legible(5) {
		t.Error("what is drawn as letters and what is said to be differ")
	}
	b = frame(100, 40)
	b.Text(text(10, 20, 2, "joint limit"))
	if ink, _ := dark(b); ink != 0 {
		t.Errorf("text of 2 pixels leaves %g ink", ink)
	}
}

func TestTextAtTheEdgeIsCut(t *testing.T) {
	whole := frame(200, 60)
	whole.Text(text(40, 40, 30, "edge"))
	all, _ := dark(whole)
	for _, c := range []struct{ x, y float64 }{{-20, 40}, {180, 40}, {40, 10}, {40, 65}} {
		b := frame(200, 60)
		b.Text(text(c.x, c.y, 30, "edge"))
		if ink, _ := dark(b); ink == 0 || ink >= all {
			t.Errorf("text at %g,%g leaves %g of %g ink", c.x, c.y, ink, all)
		}
	}
	long := make([]byte, 1<<16)
	for i := range long {
		long[i] = 'W'
	}
	b := frame(200, 60)
	b.Text(text(-3000, 40, 30, string(long))) // it begins far to the left and ends far to the right
	if _, box := dark(b); box.Dx() < 190 {
		t.Errorf("a long text covers %v", box)
	}
}

// A glyph has the same ink wherever between two pixels it stands.
func TestLettersStandBetweenPixels(t *testing.T) {
	var inks []float64
	for i := range 8 {
		b := frame(60, 40)
		b.Text(text(10+float64(i)/8, 30, 20, "R"))
		ink, _ := dark(b)
		inks = append(inks, ink)
	}
	for _, ink := range inks {
		if math.Abs(ink-inks[0]) > 0.02*inks[0] {
			t.Errorf("ink is %v", inks)
		}
	}
}

// Zooming through every size of type does not fill the memory.
func TestAtlasesAreBounded(t *testing.T) {
	var b Buffer
	b.Begin(300, 300, white, 1, 0, 0)
	for size := 5.0; size < largestCell; size += 1.5 {
		for r := rune(' '); r < 0x180; r += 4 {
			for face := drawing.Regular; face <= drawing.MonoBold; face++ {
				b.Text(drawing.Text{At: at(10.3*float64(r%4), 90), Text: string(r), Size: size, Colour: black, Face: face})
			}
		}
	}
	total := 0
	for _, a := range b.atlases {
		total += a.bytes()
	}
	if total != b.inAtlas || total > 2*atlasBytes {
		t.Errorf("glyphs take %d bytes, counted %d, bound %d", total, b.inAtlas, atlasBytes)
	}
	for i := range 3 * maxStamps {
		b.Circle(at(100+float64(i%7)/4, 100), 1+float64(i)/600, drawing.Stroke{}, black)
	}
	if len(b.stamps) > maxStamps {
		t.Errorf("%d stamps are kept", len(b.stamps))
	}
}

func TestPicturesFit(t *testing.T) {
	photo := image.NewGray(image.Rect(3, 3, 43, 23)) // black
	for _, scale := range []float64{1, 30} {
		var b Buffer
		b.Begin(100, 100, white, scale, 0, 0)
		for range 2 { // the second time from what was kept
			b.Picture(photo, box(10/scale, 10/scale, 90/scale, 90/scale))
		}
		if ink, area := dark(&b); ink != 80*40 || area != image.Rect(10, 30, 90, 70) {
			t.Errorf("a picture covers %g in %v", ink, area)
		}
	}
	var b Buffer
	b.Begin(50, 50, white, 100, -2000, -2000) // far inside the picture
	b.Picture(photo, box(0, 0, 80, 40))
	if ink, _ := dark(&b); ink != 2500 {
		t.Errorf("enlarged it covers %g of 2500", ink)
	}
	for i := range 2 * keptPictures {
		b.Picture(image.NewGray(image.Rect(0, 0, 4, 2)), box(20, 20, 20.1+float64(i)/100, 20.2))
	}
	if len(b.pictures) > keptPictures {
		t.Errorf("%d pictures are kept", len(b.pictures))
	}
	b.Picture(sheer{image.NewGray(image.Rect(0, 0, 4, 2)), []int{1}}, box(20, 20, 20.4, 20.2)) // one that cannot be compared
}

type sheer struct {
	image.Image
	list []int
}

func ExampleBuffer() {
	var b Buffer
	b.Begin(20, 5, white, 2, 0, 0)
	b.Line([]drawing.Point{at(1, 1), at(9, 1)}, line(1))
	fmt.Println(b.Image().RGBAAt(4, 2))
	// Output: {0 0 0 255}
}
