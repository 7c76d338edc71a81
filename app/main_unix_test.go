//go:build unix

package main

import (
	"bufio"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// asBellout makes the test binary run as the program.
const asBellout = "BELLOUT_TEST_AS_PROGRAM"

// asEmptyWindow makes it open a window of the toolkit with nothing in it.
const asEmptyWindow = "BELLOUT_TEST_AS_EMPTY_WINDOW"

func TestMain(m *testing.M) {
	if os.Getenv(asBellout) != "" {
		main()
	}
	if os.Getenv(asEmptyWindow) != "" {
		emptyWindow()
		return
	}
	os.Exit(m.Run())
}

func bellout(words ...string) *exec.Cmd {
	program := exec.Command(os.Args[0], words...)
	program.Env = append(os.Environ(), asBellout+"=1")
	return program
}

// sitting is a station of its own process that has asked its first probe and
// waits for an answer.
func sitting(t *testing.T) (program *exec.Cmd, said *bufio.Reader, ended chan error) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "lock.bellout")
	if text, err := bellout("demo", path).CombinedOutput(); err != nil {
		t.Fatalf("demo: %v: %s", err, text)
	}
	read, write, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	program = bellout("station", path)
	program.Stdout = write
	if _, err := program.StdinPipe(); err != nil {
		t.Fatal(err)
	}
	if err := program.Start(); err != nil {
		t.Fatal(err)
	}
	ended = make(chan error, 1)
	go func() { ended <- program.Wait() }()
	t.Cleanup(func() {
		_ = program.Process.Kill() // it may have ended already
		read.Close()
		write.Close()
	})
	said = bufio.NewReader(read)
	if _, err := said.ReadString('\n'); err != nil {
		t.Fatal(err)
	}
	return program, said, ended
}

func TestSignalEndsAStationWithItsLastLine(t *testing.T) {
	for _, signal := range []os.Signal{os.Interrupt, syscall.SIGTERM} {
		program, said, ended := sitting(t)
		if err := program.Process.Signal(signal); err != nil {
			t.Fatal(err)
		}
		select {
		case err := <-ended:
			if err != nil {
				t.Errorf("%v: it ends with %v", signal, err)
			}
		case <-time.After(20 * time.Second):
			t.Fatalf("%v does not end it", signal)
		}
		if last, err := said.ReadString('\n'); err != nil || !strings.HasPrefix(last, `{"done":true,"stopped":true,`) {
			t.Errorf("%v: its last line is %q (%v)", signal, last, err)
		}
	}
}
