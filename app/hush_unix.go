//go:build unix

package main

import (
	"bytes"
	"io"
	"os"
	"sync/atomic"

	"golang.org/x/sys/unix"
)

// hush listens to what C libraries write to the standard error.
type hush struct {
	real  int // the standard error meanwhile; -1: it was left alone
	heard chan string
}

// listening is who listens now; nil: nobody.
var listening atomic.Pointer[hush]

// hushStandardError sends the standard error here until it is over. Where the
// system does not let it, the standard error stays where it is.
func hushStandardError() {
	h := newHush()
	listening.Store(h)
}

// hushIsOver puts the standard error back, and returns what was said meanwhile.
func hushIsOver() string {
	if h := listening.Swap(nil); h != nil {
		return h.over()
	}
	return ""
}

func newHush() *hush {
	h := &hush{real: -1, heard: make(chan string, 1)}
	read, write, err := os.Pipe()
	if err != nil {
		return h
	}
	defer write.Close() //nolint:errcheck // its copy is written to
	stderr := int(os.Stderr.Fd())
	real, err := unix.Dup(stderr)
	if err != nil {
		_ = read.Close()
		return h
	}
	unix.CloseOnExec(real)
	if err := unix.Dup2(int(write.Fd()), stderr); err != nil {
		_ = unix.Close(real)
		_ = read.Close()
		return h
	}
	h.real = real
	go func() {
		var said bytes.Buffer
		_, _ = io.Copy(&said, read) // what cannot be heard is left out
		_ = read.Close()
		h.heard <- said.String()
	}()
	return h
}

func (h *hush) over() string {
	if h.real < 0 {
		return ""
	}
	_ = unix.Dup2(h.real, int(os.Stderr.Fd()))
	_ = unix.Close(h.real)
	return <-h.heard
}
