package screen

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"bellout/app/drawing"
	"bellout/assets"

	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

// The picture of a window, in pixels.
const (
	benchWidth  = 1400
	benchHeight = 900
)

var paper = color.NRGBA{R: 250, G: 250, B: 248, A: 255}

// wires are three-run wires of 2 px, each wholly within the picture, of the
// lengths that a chart's wires have when all of it is seen.
func wires(count int) ([][]drawing.Point, []drawing.Stroke) {
	random := rand.New(rand.NewPCG(1, 2))
	ways := make([][]drawing.Point, count)
	strokes := make([]drawing.Stroke, count)
	for i := range ways {
		x0, y0 := float64(random.IntN(benchWidth-300)), float64(random.IntN(benchHeight))
		x2 := x0 + float64(40+random.IntN(260))
		x1 := x0 + float64(random.IntN(int(x2-x0)))
		y2 := math.Max(0, math.Min(benchHeight, y0+float64(random.IntN(240)-120)))
		ways[i] = []drawing.Point{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y2}, {X: x2, Y: y2}}
		strokes[i] = drawing.Stroke{Colour: color.NRGBA{R: uint8(random.IntN(200)), G: uint8(random.IntN(200)), B: uint8(random.IntN(200)), A: 255}, Width: 2}
	}
	return ways, strokes
}

// plainWires draws wires as a general rasteriser does: each run a rectangle in
// one mask of the wire's own bounding box.
func plainWires(picture *image.RGBA, ways [][]drawing.Point, strokes []drawing.Stroke) {
	var raster vector.Rasterizer
	for i, way := range ways {
		box := image.Rectangle{}
		for _, p := range way {
			box = box.Union(image.Rect(int(p.X)-1, int(p.Y)-1, int(p.X)+1, int(p.Y)+1))
		}
		raster.Reset(box.Dx(), box.Dy())
		for j := 1; j < len(way); j++ {
			x0, x1 := min(way[j-1].X, way[j].X)-1, max(way[j-1].X, way[j].X)+1
			y0, y1 := min(way[j-1].Y, way[j].Y)-1, max(way[j-1].Y, way[j].Y)+1
			if j == 1 {
				x0++
			}
			if j == len(way)-1 {
				x1--
			}
			at := func(x, y float64) (float32, float32) {
				return float32(x - float64(box.Min.X)), float32(y - float64(box.Min.Y))
			}
			raster.MoveTo(at(x0, y0))
			raster.LineTo(at(x1, y0))
			raster.LineTo(at(x1, y1))
			raster.LineTo(at(x0, y1))
			raster.ClosePath()
		}
		seen := box.Intersect(picture.Rect)
		if seen == box { // its Draw goes wrong past the picture's edge
			raster.Draw(picture, seen, image.NewUniform(strokes[i].Colour), image.Point{})
		}
	}
}

// The plain way draws the same picture: else there is nothing to compare.
func TestThePlainWayDrawsTheSame(t *testing.T) {
	all, allStrokes := wires(2_000)
	var ways [][]drawing.Point
	var strokes []drawing.Stroke
	for i, way := range all { // it cannot draw at the edge, nor a run of no length
		if way[0].X > 2 && way[0].X < way[1].X && way[1].X < way[2].X+1 && way[2].X < way[3].X && min(way[0].Y, way[2].Y) > 2 && max(way[0].Y, way[2].Y) < benchHeight-2 && way[0].Y != way[2].Y {
			ways, strokes = append(ways, way), append(strokes, allStrokes[i])
		}
	}
	var buffer Buffer
	buffer.Begin(benchWidth, benchHeight, paper, 1, 0, 0)
	for i, way := range ways {
		buffer.Line(way, strokes[i])
	}
	plain := image.NewRGBA(image.Rect(0, 0, benchWidth, benchHeight))
	draw.Draw(plain, plain.Rect, image.NewUniform(paper), image.Point{}, draw.Src)
	plainWires(plain, ways, strokes)
	for i, ours := range buffer.Image().Pix {
		if difference := int(ours) - int(plain.Pix[i]); difference < -2 || difference > 2 {
			t.Fatalf("of %d wires, pixel %d,%d is %d and %d", len(ways), i/4%benchWidth, i/4/benchWidth, ours, plain.Pix[i])
		}
	}
	if len(ways) < 1000 {
		t.Fatalf("only %d wires are compared", len(ways))
	}
}

// BenchmarkWires draws a frame of wires, beside the plain way in the same run.
func BenchmarkWires(b *testing.B) {
	for _, count := range []int{10_000, 50_000} {
		b.Run(fmt.Sprint(count), func(b *testing.B) {
			ways, strokes := wires(count)
			var buffer Buffer
			plain := image.NewRGBA(image.Rect(0, 0, benchWidth, benchHeight))
			// On a machine that does other things too, the best of several says most.
			ours, theirs := time.Hour, time.Hour
			for b.Loop() {
				for range 20 {
					start := time.Now()
					buffer.Begin(benchWidth, benchHeight, paper, 1, 0, 0)
					for i, way := range ways {
						buffer.Line(way, strokes[i])
					}
					ours = min(ours, time.Since(start))
				}
				for i := range 40 { // a hundred at a time: it is slow
					start := time.Now()
					plainWires(plain, ways[i*100:i*100+100], strokes)
					theirs = min(theirs, time.Duration(count/100)*time.Since(start))
				}
			}
			b.ReportMetric(float64(ours)/1e6, "ms/frame")
			b.ReportMetric(float64(theirs)/float64(ours), "x-vector")
		})
	}
}

// BenchmarkLabels draws labels of five letters, beside one font.Drawer each.
func BenchmarkLabels(b *testing.B) {
	for _, size := range []float64{8, 12, 24} {
		b.Run(fmt.Sprintf("%gpx", size), func(b *testing.B) {
			const count = 10_000
			random := rand.New(rand.NewPCG(3, 4))
			texts := make([]drawing.Text, count)
			for i := range texts {
				at := drawing.Point{X: float64(random.IntN(benchWidth - 60)), Y: 20 + float64(random.IntN(benchHeight-20))}
				texts[i] = drawing.Text{At: at, Text: fmt.Sprintf("X%d:%d", 10+random.IntN(90), random.IntN(10)), Size: size, Colour: color.NRGBA{A: 255}}
			}
			parsed, err := opentype.Parse(assets.FontRegular)
			if err != nil {
				b.Fatal(err)
			}
			face, err := opentype.NewFace(parsed, &opentype.FaceOptions{Size: size, DPI: 72})
			if err != nil {
				b.Fatal(err)
			}
			plain := image.NewRGBA(image.Rect(0, 0, benchWidth, benchHeight))
			var buffer Buffer
			ours, theirs := time.Hour, time.Hour
			for b.Loop() {
				for range 20 {
					buffer.Begin(benchWidth, benchHeight, paper, 1, 0, 0)
					start := time.Now()
					for i := range texts {
						buffer.Text(texts[i])
					}
					ours = min(ours, time.Since(start))
				}
				for i := range 40 {
					start := time.Now()
					for _, text := range texts[i*count/100 : (i+1)*count/100] {
						drawer := font.Drawer{Dst: plain, Src: image.Black, Face: face, Dot: fixed.P(int(text.At.X), int(text.At.Y))}
						drawer.DrawString(text.Text)
					}
					theirs = min(theirs, 100*time.Since(start))
				}
			}
			b.ReportMetric(float64(ours)/count, "ns/label")
			b.ReportMetric(float64(theirs)/float64(ours), "x-drawer")
		})
	}
}

// BenchmarkScene draws a chart as it is: wires, boxes and labels, from near and
// from so far that labels are bars.
func BenchmarkScene(b *testing.B) {
	ways, strokes := wires(10_000)
	for _, scale := range []float64{1, 0.3, 4} {
		b.Run(fmt.Sprintf("x%g", scale), func(b *testing.B) {
			var buffer Buffer
			label := drawing.Text{Size: 11, Colour: color.NRGBA{A: 255}, Text: "W1234"}
			for b.Loop() {
				buffer.Begin(benchWidth, benchHeight, paper, scale, 0, 0)
				for i, way := range ways {
					buffer.Line(way, strokes[i])
					label.At = way[3]
					buffer.Text(label)
				}
			}
		})
	}
}

// BenchmarkDots draws terminals: small circles, filled and drawn round.
func BenchmarkDots(b *testing.B) {
	ways, strokes := wires(5_000)
	var buffer Buffer
	for b.Loop() {
		buffer.Begin(benchWidth, benchHeight, paper, 1, 0, 0)
		for i, way := range ways {
			buffer.Circle(way[0], 3, drawing.Stroke{Colour: strokes[i].Colour, Width: 1}, paper)
		}
	}
}

// BenchmarkSlanted draws lines along no axis.
func BenchmarkSlanted(b *testing.B) {
	ways, strokes := wires(1_000)
	var buffer Buffer
	for b.Loop() {
		buffer.Begin(benchWidth, benchHeight, paper, 1, 0, 0)
		for i, way := range ways {
			buffer.Line([]drawing.Point{way[0], way[3]}, strokes[i])
		}
	}
}
