package command

import (
	"bytes"
	"fmt"
	"image/color"
	"image/png"

	"bellout/app/drawing"
	"bellout/app/drawing/screen"
	"bellout/model"
	"bellout/model/store"
)

// The picture that the demo machine brings, so that the photo index and the bench
// have one to show: the visitors' desk from the front. It is drawn here, and its
// caption says that it is no photograph.
const (
	demoPhotoOf      = "S2"
	demoPhotoFace    = "front of the desk"
	demoPhotoCaption = "a drawing, in the place of a photograph"
)

// addDemoPhoto pins the drawing to its device.
func addDemoPhoto(file *store.File) error {
	content, err := deskPicture()
	if err != nil {
		return fmt.Errorf("demo: the picture of the desk: %w", err)
	}
	_, err = file.AddPhoto(model.Photo{Device: demoPhotoOf, Face: demoPhotoFace, Caption: demoPhotoCaption}, content)
	return err
}

// deskPicture draws the desk, 150 by 100 millimetres at 3 pixels each, as a PNG of
// some kilobytes.
func deskPicture() ([]byte, error) {
	const wide, high, scale = 150.0, 100.0, 3.0
	var (
		wood  = color.NRGBA{R: 214, G: 205, B: 190, A: 255}
		plate = color.NRGBA{R: 92, G: 104, B: 112, A: 255}
		dark  = color.NRGBA{R: 40, G: 46, B: 50, A: 255}
		pale  = color.NRGBA{R: 240, G: 240, B: 236, A: 255}
		water = color.NRGBA{R: 120, G: 160, B: 190, A: 255}
	)
	var pen screen.Buffer
	pen.Begin(int(wide*scale), int(high*scale), wood, scale, 0, 0)
	edge := drawing.Stroke{Colour: dark, Width: 0.6}
	box := func(x, y, width, height float64) drawing.Box {
		return drawing.Box{Min: drawing.Point{X: x, Y: y}, Max: drawing.Point{X: x + width, Y: y + height}}
	}
	word := func(x, y, size float64, text string) {
		pen.Text(drawing.Text{At: drawing.Point{X: x, Y: y}, Text: text, Size: size, Face: drawing.Bold, Align: drawing.Centre, Colour: pale})
	}
	pen.Rectangle(box(8, 8, wide-16, high-16), 4, edge, plate)
	for _, corner := range [][2]float64{{14, 14}, {wide - 14, 14}, {14, high - 14}, {wide - 14, high - 14}} {
		pen.Circle(drawing.Point{X: corner[0], Y: corner[1]}, 1.6, edge, pale)
	}
	word(wide/2, 20, 6, "LANTERN LOCK")
	// U2, the screen: two basins and the gates between them.
	pen.Rectangle(box(22, 26, 62, 38), 2, edge, dark)
	pen.Rectangle(box(26, 36, 26, 24), 0, drawing.Stroke{}, water)
	pen.Rectangle(box(54, 46, 26, 14), 0, drawing.Stroke{}, water)
	pen.Line([]drawing.Point{{X: 53, Y: 32}, {X: 53, Y: 60}}, drawing.Stroke{Colour: pale, Width: 1.2})
	word(53, 72, 4, "U2")
	// S1 to S4.
	for i, button := range []struct {
		ref, word string
		cap       color.NRGBA
	}{
		{"S2", "RAISE", color.NRGBA{R: 60, G: 140, B: 80, A: 255}},
		{"S4", "STOP", color.NRGBA{R: 190, G: 50, B: 40, A: 255}},
		{"S3", "LOWER", color.NRGBA{R: 60, G: 140, B: 80, A: 255}},
	} {
		y := 34 + float64(i)*18
		pen.Circle(drawing.Point{X: 106, Y: y}, 6.5, edge, pale)
		pen.Circle(drawing.Point{X: 106, Y: y}, 5, edge, button.cap)
		word(125, y+1.5, 4.2, button.ref+" "+button.word)
	}
	pen.Circle(drawing.Point{X: 32, Y: 82}, 4, edge, pale)
	pen.Line([]drawing.Point{{X: 32, Y: 82}, {X: 35.5, Y: 76}}, drawing.Stroke{Colour: dark, Width: 1.6})
	word(52, 83.5, 4.2, "S1 LAMPS")
	var out bytes.Buffer
	err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&out, pen.Image())
	return out.Bytes(), err
}
