//go:build unix

package main

import (
	"os"

	"golang.org/x/sys/unix"
)

// terminalWidth returns the columns of a terminal; 0 where it does not tell.
func terminalWidth(terminal *os.File) int {
	size, err := unix.IoctlGetWinsize(int(terminal.Fd()), unix.TIOCGWINSZ)
	if err != nil {
		return 0
	}
	return int(size.Col)
}
