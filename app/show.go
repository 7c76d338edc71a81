package main

import (
	"context"
	"errors"
	"fmt"
	"log"
	"os"
	"path/filepath"
	"runtime"

	"fyne.io/fyne/v2"
	fyneapp "fyne.io/fyne/v2/app"

	"bellout/app/command"
	"bellout/app/session"
	"bellout/app/window"
)

// opener returns what opens the window; nil where there is no display to open
// it on.
func opener() func(context.Context, string) error {
	if runtime.GOOS != "windows" && runtime.GOOS != "darwin" && os.Getenv("DISPLAY") == "" && os.Getenv("WAYLAND_DISPLAY") == "" {
		return nil
	}
	return show
}

// programID is under what name the toolkit keeps the window's size and the like.
const programID = "bellout"

// show opens the window and returns when it is closed, or when ctx ends.
func show(ctx context.Context, path string) error {
	if err := tryDisplay(); err != nil {
		return err
	}
	if err := clearSettings(); err != nil {
		return err
	}
	log.SetFlags(0)
	log.SetOutput(&complaints{to: os.Stderr})
	app := fyneapp.NewWithID(programID)
	if err := clearScale(app.Settings().Scale()); err != nil {
		return err
	}
	first := path == "" && len(window.Recent(app)) == 0
	path, err := whichFile(ctx, app, path)
	if err != nil {
		return err
	}
	d := session.New(session.Options{Deliver: fyne.Do, Stopped: ctx})
	w := window.New(app, d)
	w.Demo = func() (string, error) { return demoFile(ctx) }
	tellEvents(d) // after the window has taken what happened
	stop := context.AfterFunc(ctx, func() { fyne.Do(w.Quit) })
	defer stop()
	app.Lifecycle().SetOnEnteredForeground(d.Refresh)
	app.Lifecycle().SetOnStarted(func() {
		if path != "" {
			d.Open(path, w.Opened)
			if first {
				w.Tour()
			}
		}
	})
	w.Show()
	app.Run()
	return w.Err()
}

// whichFile is the file that was asked for; else the one that was open last;
// else, for whoever starts the program for the first time, the demo machine.
func whichFile(ctx context.Context, app fyne.App, path string) (string, error) {
	if path != "" {
		return path, nil
	}
	for _, last := range window.Recent(app) {
		if _, err := os.Stat(last); err == nil {
			return last, nil
		}
	}
	if _, err := os.UserConfigDir(); err != nil {
		return "", nil // no folder of one's own: the window shows the ways to begin
	}
	return demoFile(ctx)
}

// demoFile is the demo machine in a folder of the person's own, written where it is
// not there yet.
func demoFile(ctx context.Context) (string, error) {
	folder, err := os.UserConfigDir()
	if err != nil {
		return "", fmt.Errorf("no folder for the demo machine: %w; write which file to open, as in bellout lock.bellout", err)
	}
	folder = filepath.Join(folder, "bellout")
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return "", fmt.Errorf("no folder for the demo machine: %w; write which file to open, as in bellout lock.bellout", err)
	}
	demo := filepath.Join(folder, "lantern-lock.bellout")
	if _, err := os.Stat(demo); errors.Is(err, os.ErrNotExist) {
		if err := command.WriteDemo(ctx, demo); err != nil {
			return "", err
		}
	}
	return demo, nil
}
