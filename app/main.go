// Bellout finds what is wrong with the wiring of a machine that somebody built
// alone: it keeps the map and the readings, and judges both.
package main

import (
	"context"
	"os"
	"os/signal"
	"strconv"
	"syscall"
	"time"

	"github.com/mattn/go-isatty"

	"bellout/app/command"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := command.Run(ctx, os.Args[1:], command.Console{
		Out:      os.Stdout,
		Err:      os.Stderr,
		Width:    columns(),
		Colour:   showsColour(),
		Progress: isatty.IsTerminal(os.Stderr.Fd()),
		Now:      time.Now,
	})
	stop()
	os.Exit(code)
}

// showsColour is true on a terminal whose owner did not ask for no colour
// (the NO_COLOR convention: any value but the empty one).
func showsColour() bool {
	return isatty.IsTerminal(os.Stdout.Fd()) && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
}

// columns is the width that the shell passes on; 0 where it does not.
func columns() int {
	width, err := strconv.Atoi(os.Getenv("COLUMNS"))
	if err != nil || width < 0 {
		return 0
	}
	return width
}
