package screen

import (
	"image"
	"reflect"

	"bellout/app/drawing"

	"golang.org/x/image/draw"
)

// scaled is a picture made ready for a size, since a frame often shows the same
// pictures as the one before.
type scaled struct {
	of   image.Image
	size image.Point
	made *image.RGBA
}

// keptPictures is how many are kept; a sheet of a photo index shows fewer.
const keptPictures = 16

// Picture fits a picture into a box.
func (b *Buffer) Picture(picture image.Image, box drawing.Box) {
	place, ok := drawing.Place(picture, box)
	if !ok {
		return
	}
	x0, y0, x1, y1 := b.x(place.Min.X), b.y(place.Min.Y), b.x(place.Max.X), b.y(place.Max.Y)
	if !b.seen(x0, y0, x1, y1, 0) {
		return
	}
	target := image.Rect(px(x0), px(y0), max(px(x1), px(x0)+1), max(px(y1), px(y0)+1))
	if target.Dx() > 2*b.width || target.Dy() > 2*b.height { // zoomed in: only what is seen is worth scaling
		draw.ApproxBiLinear.Scale(b.picture, target, picture, picture.Bounds(), draw.Over, nil)
		return
	}
	draw.Draw(b.picture, target, b.ready(picture, target.Size()), image.Point{}, draw.Over)
}

// ready returns the picture at a size in pixels.
func (b *Buffer) ready(picture image.Image, size image.Point) *image.RGBA {
	keep := reflect.TypeOf(picture).Kind() == reflect.Pointer // others may not even be comparable
	if keep {
		for i := range b.pictures {
			if b.pictures[i].of == picture && b.pictures[i].size == size {
				return b.pictures[i].made
			}
		}
	}
	made := image.NewRGBA(image.Rectangle{Max: size})
	draw.CatmullRom.Scale(made, made.Rect, picture, picture.Bounds(), draw.Src, nil)
	if keep {
		if len(b.pictures) == keptPictures {
			copy(b.pictures, b.pictures[1:])
			b.pictures = b.pictures[:keptPictures-1]
		}
		b.pictures = append(b.pictures, scaled{picture, size, made})
	}
	return made
}
