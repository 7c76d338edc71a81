package book

import (
	"bytes"
	"context"
	"fmt"
	"image"
	_ "image/jpeg" // the formats of photos
	_ "image/png"

	"golang.org/x/image/draw"

	"bellout/app/drawing"
	"bellout/model"
)

// makePhotos prints every picture with what is to be seen on it.
func makePhotos(ctx context.Context, f *facts, s *Sheet) error {
	fl := newFlow(s, false)
	fl.heading("Photo index", 24)
	if len(f.m.Photos) == 0 {
		fl.para("No photos are pinned to devices.", style{})
		return nil
	}
	t := &table{columns: []column{{title: "no.", right: true, bold: true}, {title: "device", bold: true, mono: true}, {title: "side that is seen", most: 50}, {title: "what to see", most: 80}, {title: "taken"}, {title: "pixels", right: true}, {title: "before or after", fixed: 26}}}
	for i, p := range f.m.Photos {
		width, height := p.Upright()
		t.add(say(digits(i+1)), cell{text: p.Device, link: deviceAnchor(p.Device)}, say(p.Face), say(p.Caption), say(day(p.At)), say(fmt.Sprintf("%d × %d", width, height)), cell{shade: true})
	}
	fl.table(t)
	for i := 0; i < len(f.m.Photos); i += 2 {
		if err := ctx.Err(); err != nil {
			return err
		}
		f.progress("Photos", i, len(f.m.Photos))
		f.photoRow(fl, f.m.Photos[i:min(i+2, len(f.m.Photos))], i+1, 78)
	}
	return nil
}

// photoRow sets pictures beside each other with a line below each.
func (f *facts) photoRow(fl *flow, photos []model.Photo, first int, height float64) {
	const gap = 5.0
	fl.room(height + 9)
	width := (fl.width() - gap) / 2
	for i, p := range photos {
		x := fl.left() + float64(i)*(width+gap)
		place := box(x, fl.y, x+width, fl.y+height)
		fl.page.rectangle(place, 0, 0.15, hair, noFill)
		picture, err := f.picture(p)
		if err != nil {
			fl.page.text(x+3, fl.y+height/2, smallSize, drawing.Regular, "the picture cannot be shown: "+err.Error(), width-6)
		} else {
			fl.page.do(func(pen drawing.Pen, _ *Bound) {
				pen.Picture(picture, box(x+0.5, place.Min.Y+0.5, x+width-0.5, place.Max.Y-0.5))
			})
		}
		words := p.Device
		if first > 0 {
			words = fmt.Sprintf("%d  %s", first+i, p.Device)
		}
		if p.Face != "" {
			words += ": " + p.Face
		}
		if p.Caption != "" {
			words += ". " + p.Caption
		}
		fl.page.text(x, fl.y+height+3.4, smallSize, drawing.Regular, words, width)
	}
	fl.used(height + 7)
}

// plugPhotos shows the pictures that are pinned to a device, two of them.
func (f *facts) plugPhotos(fl *flow, device string) {
	photos := f.m.PhotosOf(device)
	if len(photos) == 0 || f.job.Photo == nil {
		return
	}
	f.photoRow(fl, photos[:min(2, len(photos))], 0, 45)
}

// printedSide is the most pixels that a picture in the book has along a side: 220
// dots an inch over half a page.
const printedSide = 900

// picture reads a picture, upright, and no larger than it is printed.
func (f *facts) picture(p model.Photo) (image.Image, error) {
	if f.job.Photo == nil {
		return nil, fmt.Errorf("it is not with this printing")
	}
	if f.pictures == nil {
		f.pictures = map[string]image.Image{}
	}
	key := fmt.Sprint(p.Hash, p.TurnDegrees)
	if known := f.pictures[key]; known != nil {
		return known, nil
	}
	content, err := f.job.Photo(p.Hash)
	if err != nil {
		return nil, err
	}
	whole, _, err := image.Decode(bytes.NewReader(content))
	if err != nil {
		return nil, fmt.Errorf("its bytes are damaged (%w)", err)
	}
	f.pictures[key] = upright(whole, p.TurnDegrees)
	return f.pictures[key], nil
}

// upright scales a picture down to what is printed and turns it clockwise.
func upright(whole image.Image, degrees int) image.Image {
	size := whole.Bounds().Size()
	scale := min(1, printedSide/float64(max(size.X, size.Y, 1)))
	width, height := max(1, int(float64(size.X)*scale)), max(1, int(float64(size.Y)*scale))
	small := image.NewRGBA(image.Rect(0, 0, width, height))
	draw.ApproxBiLinear.Scale(small, small.Bounds(), whole, whole.Bounds(), draw.Src, nil)
	if degrees == 0 {
		return small
	}
	turned := image.NewRGBA(image.Rect(0, 0, height, width))
	if degrees == 180 {
		turned = image.NewRGBA(small.Bounds())
	}
	for y := range height {
		for x := range width {
			c := small.RGBAAt(x, y)
			switch degrees {
			case 90:
				turned.SetRGBA(height-1-y, x, c)
			case 180:
				turned.SetRGBA(width-1-x, height-1-y, c)
			case 270:
				turned.SetRGBA(y, width-1-x, c)
			}
		}
	}
	return turned
}
