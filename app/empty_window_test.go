//go:build unix

package main

import (
	"fmt"
	"os"

	"fyne.io/fyne/v2"
	fyneapp "fyne.io/fyne/v2/app"
	"fyne.io/fyne/v2/widget"
)

// emptyWindow opens a window with one word in it, says so, and stays until it is
// ended: what nobody who uses the toolkit can be quicker than.
func emptyWindow() {
	app := fyneapp.NewWithID("empty")
	w := app.NewWindow("Empty")
	w.SetContent(widget.NewLabel("empty"))
	w.Resize(fyne.NewSize(1400, 900))
	app.Lifecycle().SetOnStarted(func() { fmt.Fprintln(os.Stderr, "event started") })
	w.ShowAndRun()
}
