package session

import (
	"bytes"
	"context"
	"fmt"
	"image"
	_ "image/jpeg" // for image.Decode
	_ "image/png"  // for image.Decode
	"io"
	"os"

	"bellout/model"
)

// AddPhoto pins a picture file to a device, with the face that is seen.
func (d *Session) AddPhoto(device, path, face string, done func(error)) {
	if err := d.checkWritable(); err != nil {
		d.finish(done, err)
		return
	}
	at := d.Now()
	d.Task("Reading a photo", func(context.Context, func(done, of int)) error {
		content, err := readPhoto(path)
		if err != nil {
			return err
		}
		finished := make(chan error, 1)
		d.worker.do(func(w *worker) {
			if w.file == nil {
				finished <- d.checkWritable()
				return
			}
			err := w.attempt(func() error {
				_, err := w.file.AddPhoto(model.Photo{Device: device, Face: face, At: at}, content)
				return err
			})
			if err == nil {
				w.diagnose(true)
			}
			finished <- err
		})
		return <-finished
	}, done)
}

// readPhoto reads a file that is not too large to be one.
func readPhoto(path string) ([]byte, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("no photo: %w", err)
	}
	content, err := io.ReadAll(io.LimitReader(file, model.MaxPhotoBytes+1))
	if closing := file.Close(); err == nil {
		err = closing
	}
	if err != nil {
		return nil, fmt.Errorf("no photo: %w", err)
	}
	return content, nil
}

// AskPicture decodes a photo of the file, no larger than a number of pixels on
// its longer side, upright, and brings it to the owner; nil where it cannot be
// read, and the status line says why.
func (d *Session) AskPicture(photo model.Photo, most int, answer func(image.Image)) {
	d.worker.do(func(w *worker) {
		if w.file == nil {
			return
		}
		content, err := w.file.PictureBytes(photo.Hash)
		if err != nil {
			w.tellOwner(Notice{Text: err.Error(), Bad: true})
			return
		}
		decode := func() {
			picture, _, err := image.Decode(bytes.NewReader(content))
			if err != nil {
				w.tellOwner(Notice{Text: fmt.Sprintf("a photo of %s cannot be shown: %v", photo.Device, err), Bad: true})
				return
			}
			small := shrink(picture, most, photo.TurnDegrees)
			d.deliver(func() { answer(small) })
		}
		if d.options.Deliver == nil {
			decode()
			return
		}
		go decode()
	})
}

// shrink makes a picture small, by taking the nearest pixel, and turns it
// clockwise.
func shrink(from image.Image, most, turn int) *image.RGBA {
	bounds := from.Bounds()
	wide, high := bounds.Dx(), bounds.Dy()
	scale := min(1, float64(most)/float64(max(wide, high, 1)))
	w, h := max(int(float64(wide)*scale), 1), max(int(float64(high)*scale), 1)
	outWide, outHigh := w, h
	if turn == 90 || turn == 270 {
		outWide, outHigh = h, w
	}
	to := image.NewRGBA(image.Rect(0, 0, outWide, outHigh))
	for y := range h {
		for x := range w {
			pixel := from.At(bounds.Min.X+x*wide/w, bounds.Min.Y+y*high/h)
			switch turn {
			case 90:
				to.Set(h-1-y, x, pixel)
			case 180:
				to.Set(w-1-x, h-1-y, pixel)
			case 270:
				to.Set(y, w-1-x, pixel)
			default:
				to.Set(x, y, pixel)
			}
		}
	}
	return to
}
