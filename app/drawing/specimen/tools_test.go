package specimen

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"bellout/app/drawing"
	"bellout/app/drawing/pdf"
	"bellout/app/drawing/screen"
	"bellout/app/drawing/svg"
)

// tool returns the path of a program that reads what we wrote: another reader than
// ours. Without it the test is skipped, saying so; on a build machine it fails.
func tool(t testing.TB, name string) string {
	path, err := exec.LookPath(name)
	if err == nil {
		return path
	}
	if os.Getenv("CI") != "" {
		t.Fatalf("%s is not installed", name)
	}
	t.Skipf("NOT TESTED: %s is not installed (packages poppler-utils, librsvg2-bin)", name)
	return ""
}

// run runs a program and returns what it prints.
func run(t testing.TB, name string, args ...string) []byte {
	command := exec.Command(tool(t, name), args...)
	var complaints bytes.Buffer
	command.Stderr = &complaints
	out, err := command.Output()
	if err != nil || complaints.Len() > 0 {
		t.Fatalf("%s %v: %v\n%s", name, args, err, complaints.String())
	}
	return out
}

// made is the day on which documents of tests are made.
var made = time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)

// bytesOfPDF draws pages.
func bytesOfPDF(t testing.TB, draw func(drawing.Document)) []byte {
	document := pdf.New(pdf.Info{Title: "Lantern Lock", Created: made})
	draw(document)
	var out bytes.Buffer
	if err := document.Write(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// bytesOfSVG draws one page.
func bytesOfSVG(t testing.TB, draw func(drawing.Document)) []byte {
	document := svg.New(nil)
	draw(document)
	var out bytes.Buffer
	if err := document.Write(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func write(t testing.TB, name string, content []byte) string {
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, content, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// perMM is how many pixels a millimetre has when pictures are compared. Files are
// made pictures finer times as large and then averaged down: at the size itself,
// programs move letters to whole pixels.
const (
	perMM = 5
	finer = 3
)

// onScreen draws a page as the window does.
func onScreen(draw func(drawing.Pen)) image.Image { return onScreenAt(perMM, draw) }

func onScreenAt(scale float64, draw func(drawing.Pen)) image.Image {
	var b screen.Buffer
	b.Begin(int(Width*scale), int(Height*scale), color.NRGBA{R: 255, G: 255, B: 255, A: 255}, scale, 0, 0)
	draw(&b)
	return b.Image()
}

// onPaper draws a page as PDF and has it made a picture.
func onPaper(t testing.TB, draw func(drawing.Pen)) image.Image {
	file := write(t, "drawing.pdf", bytesOfPDF(t, func(d drawing.Document) { draw(d.Page(Width, Height, "Specimen")) }))
	base := file + ".out"
	run(t, "pdftoppm", "-png", "-singlefile", "-scale-to-x", number(Width*perMM*finer), "-scale-to-y", number(Height*perMM*finer), file, base)
	return averaged(load(t, base+".png"))
}

// inSVG draws a page as SVG and has it made a picture.
func inSVG(t testing.TB, draw func(drawing.Pen)) image.Image {
	file := write(t, "drawing.svg", bytesOfSVG(t, func(d drawing.Document) { draw(d.Page(Width, Height, "Specimen")) }))
	out := file + ".png"
	run(t, "rsvg-convert", "-w", number(Width*perMM*finer), "-h", number(Height*perMM*finer), "-b", "white", "-o", out, file)
	return averaged(load(t, out))
}

func load(t testing.TB, path string) image.Image {
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = file.Close() }() // only read
	picture, err := png.Decode(file)
	if err != nil {
		t.Fatal(err)
	}
	return picture
}

// averaged makes a picture finer times smaller.
func averaged(any image.Image) image.Image {
	picture := image.NewRGBA(any.Bounds())
	draw.Draw(picture, picture.Rect, any, any.Bounds().Min, draw.Src)
	size := picture.Rect.Size().Div(finer)
	small := image.NewRGBA(image.Rectangle{Max: size})
	for y := range size.Y {
		for x := range size.X {
			var sum [3]int
			for i := range finer * finer {
				c := picture.RGBAAt(x*finer+i%finer, y*finer+i/finer)
				sum[0], sum[1], sum[2] = sum[0]+int(c.R), sum[1]+int(c.G), sum[2]+int(c.B)
			}
			const all = finer * finer
			small.SetRGBA(x, y, color.RGBA{uint8(sum[0] / all), uint8(sum[1] / all), uint8(sum[2] / all), 255})
		}
	}
	return small
}
