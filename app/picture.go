package main

import (
	"context"
	"image/png"
	"io"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"bellout/app/desk"
	"bellout/app/whole"
	"bellout/app/window"
)

// pictureSize is that of the window in its picture.
var pictureSize = fyne.NewSize(1400, 900)

// picture saves what the window shows of a file. It draws with the toolkit's
// driver that needs no display, and changes nothing in the file.
func picture(ctx context.Context, path, out string) error {
	app := test.NewApp()
	defer app.Quit()
	d := desk.New(desk.Options{}) // every job done at once, so that nothing is missing in the picture
	w := window.New(app, d)
	var failed error
	d.Open(path, func(err error) { failed = err })
	if failed != nil {
		return failed
	}
	w.Fyne().Resize(pictureSize)
	w.Show()
	picture := w.Fyne().Canvas().Capture()
	if err := d.Close(); err != nil {
		return err
	}
	return whole.Replace(out, func(to io.Writer) error { return png.Encode(to, picture) })
}
