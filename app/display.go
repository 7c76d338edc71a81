package main

import (
	"errors"
	"fmt"
	"log"
	"os"
	"runtime"
	"slices"
	"strings"
	"time"

	"github.com/go-gl/glfw/v3.3/glfw"

	"bellout/app/command"
)

// displayPatience is how long a display may take to answer: one over a slow net
// takes a second or two, one that hangs takes for ever.
const displayPatience = 10 * time.Second

// tryDisplay says why no window can be opened on the display; nil where one can.
// It asks what the window toolkit will ask, with the same demands, because the
// toolkit itself ends the program then, or goes on without a window. Main
// goroutine only. Cost: a second drawing context, 20 ms with software OpenGL of
// the 570 ms until the window can be used.
func tryDisplay() error {
	hushStandardError()
	hung := time.AfterFunc(displayPatience, func() { // the library waits without end, on this thread
		end("no window: the display " + displayName() + " does not answer; set DISPLAY to one that does, or write a command: bellout --help lists them")
	})
	failed := openHidden()
	hung.Stop()
	lines := hushIsOver()
	if failed == nil {
		return nil
	}
	reasons := []string{plain(failed.Error())}
	for _, line := range strings.Split(lines, "\n") {
		if line = plain(line); line != "" && !slices.Contains(reasons, line) {
			reasons = append(reasons, line)
		}
	}
	return fmt.Errorf("%w on the display %s: %s", command.ErrNoWindow, displayName(), strings.Join(reasons, "; "))
}

// openHidden opens a window that nobody sees, and closes it.
func openHidden() (err error) {
	defer func() {
		if failed := recover(); failed != nil { // how this library says that something is not there
			err = fmt.Errorf("%v", failed)
		}
	}()
	var complaint strings.Builder // of the platform it writes to the log, and returns nil
	flags := log.Flags()
	log.SetFlags(0)
	log.SetOutput(&complaint)
	defer func() {
		log.SetFlags(flags)
		log.SetOutput(os.Stderr)
	}()
	if err := glfw.Init(); err != nil {
		return err
	}
	if complaint.Len() > 0 {
		return errors.New(complaint.String())
	}
	defer glfw.DefaultWindowHints()
	glfw.WindowHint(glfw.Visible, glfw.False)
	demandOpenGL()
	window, err := glfw.CreateWindow(1, 1, "", nil, nil)
	switch {
	case err != nil:
		return err
	case window == nil:
		return errors.New(complaint.String())
	}
	window.Destroy()
	return nil
}

// demandOpenGL asks for the OpenGL that the window toolkit draws with.
func demandOpenGL() {
	major, minor := 2, 1
	if runtime.GOOS != "darwin" && (runtime.GOARCH == "arm" || runtime.GOARCH == "arm64") {
		glfw.WindowHint(glfw.ClientAPI, glfw.OpenGLESAPI)
		minor = 0
	}
	glfw.WindowHint(glfw.ContextVersionMajor, major)
	glfw.WindowHint(glfw.ContextVersionMinor, minor)
}

// plain takes off the kind that the library puts before what went wrong.
func plain(text string) string {
	text = strings.TrimSpace(text)
	kind, rest, _ := strings.Cut(text, ": ")
	if !strings.Contains(kind, " ") && (strings.HasSuffix(kind, "Error") || strings.HasSuffix(kind, "Unavailable")) {
		return rest
	}
	return text
}

// displayName is what the surroundings call the display.
func displayName() string {
	for _, name := range []string{"DISPLAY", "WAYLAND_DISPLAY"} {
		if value := os.Getenv(name); value != "" {
			return value
		}
	}
	return "of this system"
}
