// Package command is Bellout on the command line: one file a command, which
// reads its words, calls what does the work and prints the answer. No rule of
// the trade lives here.
package command

import (
	"context"
	"errors"
	"fmt"
	"image"
	"io"
	"strings"
	"time"
	"unicode"

	"bellout/model"
)

// Console is what a command reads the world through and writes to.
type Console struct {
	Out io.Writer // what was asked for
	Err io.Writer // one line where it went wrong, and progress

	Width    int  // of Out in characters; 0: not known
	Colour   bool // Out is a terminal that shows colour
	Progress bool // Err is a terminal: somebody is waiting in front of it

	Now func() time.Time

	// Window opens the window on a file, or, with an empty path, on the file that
	// was open last, and returns when it is closed. It is nil where there is no
	// display, and gives ErrNoWindow, with nothing done, where the display takes
	// no window.
	Window func(ctx context.Context, path string) error
	// Picture draws that window, without a display.
	Picture func(ctx context.Context, path string) (image.Image, error)
}

// The exit codes of every command.
const (
	ExitDone  = 0 // it did its work
	ExitFault = 1 // check did its work and found a fault
	ExitBad   = 2 // bad input: one line on Err, the project file as it was
)

// ErrNoWindow says that the display takes no window; around it stands why.
var ErrNoWindow = errors.New("no window")

// errFaultFound ends a check that found a fault: no failure, but an exit code.
var errFaultFound = errors.New("a fault was found")

// Run does what the words ask, args being without the program's name, and
// returns the exit code.
func Run(ctx context.Context, args []string, console Console) int {
	root := newRoot(&console)
	root.SetOut(console.Out)
	root.SetErr(console.Err)
	root.SetArgs(shieldNumbers(root, args))
	err := root.ExecuteContext(ctx)
	switch {
	case err == nil:
		return ExitDone
	case errors.Is(err, errFaultFound):
		return ExitFault
	case errors.Is(err, context.Canceled):
		err = errors.New("stopped; nothing was changed")
	}
	_, _ = fmt.Fprintln(console.Err, "bellout: "+oneLine(err.Error()))
	return ExitBad
}

// oneLine keeps an error to the one line that a script or a person at the bench
// expects, whatever a lower layer put into it.
func oneLine(text string) string {
	text = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsControl(r):
			return ' '
		case model.TurnsDirection(r): // the name of a file may hold one
			return '?'
		}
		return r
	}, text)
	return strings.Join(strings.Fields(text), " ")
}
