package main

import (
	"context"
	"errors"
	"image"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bellout/app/session"
	"bellout/app/window"
)

// pictureSize is that of the window in its picture.
var pictureSize = fyne.NewSize(1400, 900)

// picture is what the window shows of a file. It draws with the toolkit's driver
// that needs no display, and changes nothing in the file.
func picture(ctx context.Context, path string) (image.Image, error) {
	app := test.NewApp()
	defer app.Quit()
	d := session.New(session.Options{Stopped: ctx}) // every job done at once, so that nothing is missing in the picture
	w := window.New(app, d)
	var failed error
	d.Open(path, func(err error) { failed = err })
	if failed != nil {
		return nil, failed
	}
	w.Fyne().Resize(pictureSize)
	w.Show()
	picture := w.Fyne().Canvas().Capture()
	return picture, errors.Join(ctx.Err(), d.Close())
}
