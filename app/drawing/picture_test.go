package drawing

import (
	"bytes"
	"image"
	"image/color"
	"math"
	"testing"
)

func TestPlaceKeepsTheShape(t *testing.T) {
	box := Box{Point{10, 20}, Point{50, 40}}
	for _, c := range []struct {
		width, height int
		want          Box
	}{
		{200, 100, box},
		{100, 100, Box{Point{20, 20}, Point{40, 40}}},
		{400, 100, Box{Point{10, 25}, Point{50, 35}}},
	} {
		got, ok := Place(image.NewGray(image.Rect(5, 5, 5+c.width, 5+c.height)), box)
		if !ok || got != c.want {
			t.Errorf("%d by %d lies at %v, want %v", c.width, c.height, got, c.want)
		}
	}
	for _, bad := range []Box{{Point{1, 1}, Point{1, 5}}, {Point{5, 5}, Point{1, 1}}, {Point{math.NaN(), 0}, Point{1, 1}}, {Point{0, 0}, Point{math.Inf(1), 1}}} {
		if _, ok := Place(image.NewGray(image.Rect(0, 0, 4, 4)), bad); ok {
			t.Errorf("a picture has a place in %v", bad)
		}
	}
	if _, ok := Place(image.NewGray(image.Rectangle{}), box); ok {
		t.Error("an empty picture has a place")
	}
	if _, ok := Place(nil, box); ok {
		t.Error("no picture has a place")
	}
}

func TestEncodeChoosesTheForm(t *testing.T) {
	photo, line, glass := image.NewRGBA(image.Rect(0, 0, 900, 300)), image.NewNRGBA(image.Rect(0, 0, 40, 30)), image.NewNRGBA(image.Rect(0, 0, 400, 300))
	for y := range 300 {
		for x := range 900 {
			photo.Set(x, y, color.RGBA{uint8(x * 7), uint8(y * 5), uint8(x + y), 255})
			glass.Set(x, y, color.NRGBA{uint8(x), uint8(y), uint8(x * y), uint8(x)})
		}
	}
	for y := range 30 {
		for x := range 40 {
			line.Set(x, y, color.NRGBA{0, 0, uint8(x / 20 * 255), 255})
		}
	}
	for _, c := range []struct {
		what    string
		picture image.Image
		mm      float64
		jpeg    bool
		pixels  int
	}{
		{"a photo", photo, 50, true, 434}, // 50 mm at 220 dots an inch
		{"a small photo is not blown up", photo, 500, true, 900},
		{"a drawing", line, 50, false, 40},
		{"one sees through", glass, 50, false, 400},
	} {
		encoded, err := Encode(c.picture, c.mm)
		if err != nil {
			t.Fatal(err)
		}
		config, form, err := image.DecodeConfig(bytes.NewReader(encoded.Bytes))
		if err != nil || (form == "jpeg") != c.jpeg || encoded.JPEG != c.jpeg || config.Width != c.pixels {
			t.Errorf("%s is a %s of %d pixels: %v", c.what, form, config.Width, err)
		}
		again, err := Encode(c.picture, c.mm)
		if err != nil || again.Name != encoded.Name {
			t.Errorf("%s has another name the second time: %v", c.what, err)
		}
	}
}
