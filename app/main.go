// Bellout finds what is wrong with the wiring of a machine that somebody built
// alone: it keeps the map and the readings, and judges both.
package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"strconv"
	"syscall"
	"time"

	"github.com/mattn/go-isatty"

	"bellout/app/command"
	_ "bellout/app/locale" // before the window toolkit reads it
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, func() {
		stop() // a second signal ends what does not listen to the first
		time.Sleep(lastCall)
		end("stopped; of what was being written, the file holds all or nothing")
	})
	code := command.Run(ctx, os.Args[1:], command.Console{
		Out:      os.Stdout,
		Err:      os.Stderr,
		Width:    columns(),
		Colour:   showsColour(),
		Progress: isatty.IsTerminal(os.Stderr.Fd()),
		Now:      time.Now,
		Window:   opener(),
		Picture:  picture,
	})
	stop()
	os.Exit(code)
}

// lastCall is how long what was going on may take to end by itself after a
// signal: two seconds less a margin for a busy machine.
const lastCall = 1500 * time.Millisecond

// end leaves the program from wherever it is, with one line that says why.
func end(why string) {
	hushIsOver()
	_, _ = fmt.Fprintln(os.Stderr, "bellout: "+why) // nobody is left to tell
	os.Exit(command.ExitBad)
}

// showsColour is true on a terminal whose owner did not ask for no colour
// (the NO_COLOR convention: any value but the empty one).
func showsColour() bool {
	return isatty.IsTerminal(os.Stdout.Fd()) && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
}

// columns is the width that the owner asks for in COLUMNS, else that of the
// terminal; 0 where Out is none.
func columns() int {
	if width, err := strconv.Atoi(os.Getenv("COLUMNS")); err == nil && width > 0 {
		return width
	}
	if !isatty.IsTerminal(os.Stdout.Fd()) {
		return 0
	}
	return terminalWidth(os.Stdout)
}
