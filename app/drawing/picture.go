package drawing

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"reflect"

	"golang.org/x/image/draw"
)

// Place returns the largest box of a picture's shape inside a box, centred; false
// where there is nothing to show.
func Place(picture image.Image, box Box) (Box, bool) {
	if picture == nil || picture.Bounds().Empty() {
		return Box{}, false
	}
	size := picture.Bounds().Size()
	width, height := box.Max.X-box.Min.X, box.Max.Y-box.Min.Y
	if !(width > 0) || !(height > 0) || math.IsInf(width, 0) || math.IsInf(height, 0) {
		return Box{}, false
	}
	scale := min(width/float64(size.X), height/float64(size.Y))
	dx, dy := (width-scale*float64(size.X))/2, (height-scale*float64(size.Y))/2
	return Box{
		Min: Point{box.Min.X + dx, box.Min.Y + dy},
		Max: Point{box.Max.X - dx, box.Max.Y - dy},
	}, true
}

// Encoded is a picture as files hold it.
type Encoded struct {
	Bytes []byte
	JPEG  bool   // else PNG
	Name  string // the same for the same picture
}

// What a picture on paper is worth: dots an inch, and JPEG's quality out of 100
// (common practice both).
const (
	pictureDPI     = 220
	pictureQuality = 85
)

// Encode returns a picture for a place so many millimetres wide on paper, with no
// more pixels than print shows: a photo as JPEG, a drawing with few colours or a
// picture that one sees through as PNG.
func Encode(picture image.Image, width float64) (Encoded, error) {
	size := picture.Bounds().Size()
	most := int(math.Ceil(min(width, 1e5) / 25.4 * pictureDPI))
	target := image.Rectangle{Max: size}
	if most > 0 && most < size.X {
		target.Max = image.Pt(most, max(1, int(math.Round(float64(size.Y)*float64(most)/float64(size.X)))))
	}
	whole := image.NewNRGBA(target)
	if target.Max == size {
		draw.Draw(whole, target, picture, picture.Bounds().Min, draw.Src)
	} else {
		draw.CatmullRom.Scale(whole, target, picture, picture.Bounds(), draw.Src, nil)
	}
	var out bytes.Buffer
	var err error
	encoded := Encoded{JPEG: whole.Opaque() && !fewColours(whole)}
	if encoded.JPEG {
		err = jpeg.Encode(&out, whole, &jpeg.Options{Quality: pictureQuality})
	} else {
		err = png.Encode(&out, whole)
	}
	if err != nil {
		return Encoded{}, fmt.Errorf("a picture of %d by %d pixels cannot be written: %w", size.X, size.Y, err)
	}
	encoded.Bytes = out.Bytes()
	sum := sha256.Sum256(encoded.Bytes)
	encoded.Name = hex.EncodeToString(sum[:12])
	return encoded, nil
}

// Encoder encodes pictures, each once: a document often shows the same ones again.
// The zero value is ready. It counts on nobody changing them meanwhile.
type Encoder struct{ known map[encoderKey]Encoded }

type encoderKey struct {
	of    image.Image
	width float64
}

// Encode is the function Encode, with a memory for pictures that are pointers; of
// others two may not even be comparable.
func (e *Encoder) Encode(picture image.Image, width float64) (Encoded, error) {
	if reflect.TypeOf(picture).Kind() != reflect.Pointer {
		return Encode(picture, width)
	}
	key := encoderKey{picture, width}
	if encoded, there := e.known[key]; there {
		return encoded, nil
	}
	encoded, err := Encode(picture, width)
	if err != nil {
		return Encoded{}, err
	}
	if e.known == nil {
		e.known = map[encoderKey]Encoded{}
	}
	e.known[key] = encoded
	return encoded, nil
}

// fewColours says that a picture is a drawing, which JPEG would smear.
func fewColours(picture *image.NRGBA) bool {
	seen := map[color.NRGBA]bool{}
	for i := 0; i+3 < len(picture.Pix); i += 4 {
		seen[color.NRGBA{R: picture.Pix[i], G: picture.Pix[i+1], B: picture.Pix[i+2], A: picture.Pix[i+3]}] = true
		if len(seen) > 256 {
			return false
		}
	}
	return true
}
