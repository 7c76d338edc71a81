package store

import (
	"bufio"
	"errors"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"bellout/model"
)

// Some of these tests need a second process. It is this test program, started
// again with a job and a file.
const (
	jobVariable  = "BELLOUT_STORE_TEST_JOB"
	fileVariable = "BELLOUT_STORE_TEST_FILE"
)

func TestMain(m *testing.M) {
	if job, found := jobs[os.Getenv(jobVariable)]; found {
		if err := job(os.Getenv(fileVariable)); err != nil {
			fmt.Println("error:", err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	flag.Parse()
	if flag.Lookup("test.bench").Value.String() == "" {
		synchronous = "OFF" // thousands of edits: no power fails during these tests
	}
	os.Exit(m.Run())
}

var jobs = map[string]func(path string) error{
	"log":       logForever,
	"immediate": func(path string) error { return keepLocked(path, "BEGIN IMMEDIATE") },
	"exclusive": func(path string) error { return keepLocked(path, "BEGIN EXCLUSIVE") },
	"owned":     func(path string) error { return keepLocked(path, "PRAGMA locking_mode=EXCLUSIVE; BEGIN EXCLUSIVE") },
	"visit":     visit,
	"window":    holdOpen,
}

func start(t testing.TB, program, job, path string) (*exec.Cmd, *bufio.Reader, io.WriteCloser) {
	t.Helper()
	return startAs(t, program, job, path, nil)
}

func startAs(t testing.TB, program, job, path string, as *syscall.SysProcAttr) (*exec.Cmd, *bufio.Reader, io.WriteCloser) {
	t.Helper()
	cmd := exec.Command(program)
	cmd.SysProcAttr = as
	cmd.Env = append(os.Environ(), jobVariable+"="+job, fileVariable+"="+path)
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	must(t, err)
	in, err := cmd.StdinPipe()
	must(t, err)
	must(t, cmd.Start())
	t.Cleanup(func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
	})
	return cmd, bufio.NewReader(out), in
}

func ownProgram(t testing.TB) string {
	t.Helper()
	program, err := os.Executable()
	must(t, err)
	return program
}

// logForever stores readings and wires, and prints the number of each reading
// after Log has returned: from then on it must never be lost.
func logForever(path string) error {
	f, err := Open(path, ReadWrite)
	if err != nil {
		return err
	}
	for i := 0; ; i++ {
		number, err := f.Log(model.Reading{Red: ref("G1:+"), Black: ref("E1:+"), Mode: model.ModeOhms,
			Value: model.Value{Number: float64(i)}, Note: strings.Repeat("x", i%3000)})
		if err != nil {
			return err
		}
		fmt.Println(number)
		if i%5 == 4 {
			name := fmt.Sprintf("C%d", number)
			if err := f.Do(model.Edit{What: name, Changes: added(wire(name, "G1:+", "E1:+"))}); err != nil {
				return err
			}
		}
	}
}

// Nothing acknowledged is ever lost: the process is killed at random moments
// while it logs, and each time every reading whose number it had printed is
// there, and the file is sound. So is a copy of the file alone, taken before
// anything is rolled back, unless the kill came in the very middle of a write:
// then it is refused.
func TestKilledWhileLogging(t *testing.T) {
	rounds := 100
	if testing.Short() {
		rounds = 6
	}
	f, path := create(t)
	must(t, f.Do(small()))
	must(t, f.Close())
	random := rand.New(rand.NewPCG(1, 2))
	acknowledged := int64(3) // those of the small machine
	halves := 0
	for round := range rounds {
		cmd, out, _ := start(t, ownProgram(t), "log", path)
		killed := make(chan error, 1)
		delay := time.Duration(random.IntN(60)) * time.Millisecond
		first := true
		for {
			line, err := out.ReadString('\n')
			if number, bad := strconv.ParseInt(strings.TrimSpace(line), 10, 64); bad == nil && strings.HasSuffix(line, "\n") {
				acknowledged = max(acknowledged, number)
			} else if strings.HasPrefix(line, "error:") {
				t.Fatalf("round %d: %s", round, line)
			}
			if first {
				first = false
				time.AfterFunc(delay, func() { killed <- cmd.Process.Kill() })
			}
			if err != nil {
				break
			}
		}
		must(t, <-killed)
		_ = cmd.Wait()
		half := len(companions(path))
		halves += half
		alone := filepath.Join(t.TempDir(), "alone.bellout")
		must(t, copyFile(path, alone))
		if copied, err := Open(alone, ReadOnly); err == nil {
			for number := int64(1); number <= acknowledged; number++ {
				if _, there := copied.Machine().Reading(number); !there {
					t.Fatalf("round %d: a copy of the file alone opens without reading %d", round, number)
				}
			}
			must(t, copied.Close())
		} else if half == 0 || !errors.Is(err, ErrDamaged) {
			t.Fatalf("round %d: a copy of the file alone: %v", round, err)
		}
		f := reopen(t, path, ReadWrite)
		for number := int64(1); number <= acknowledged; number++ {
			if _, there := f.Machine().Reading(number); !there {
				t.Fatalf("round %d: reading %d was acknowledged and is lost; %d are there", round, number, len(f.Machine().Readings))
			}
		}
		check(t, f)
		must(t, f.Close())
	}
	if acknowledged < int64(rounds) {
		t.Errorf("only %d readings in %d rounds", acknowledged, rounds)
	}
	t.Logf("%d readings acknowledged in %d rounds, %d kills left a journal", acknowledged, rounds, halves)
}

// keepLocked takes a lock, says so, and lets go when its input ends.
func keepLocked(path, how string) error {
	c, err := openConn(path, "mode=rw", time.Second)
	if err != nil {
		return err
	}
	if err := c.script(how); err != nil {
		return err
	}
	fmt.Println("held")
	_, err = io.Copy(io.Discard, os.Stdin)
	return errors.Join(err, c.rollback(), c.close())
}

func TestLockedByAnotherProcess(t *testing.T) {
	for _, how := range []string{"immediate", "exclusive"} {
		t.Run(how, func(t *testing.T) {
			f, path := create(t)
			must(t, f.Do(small()))
			want := f.Machine().Clone()
			cmd, out, in := start(t, ownProgram(t), how, path)
			if line, err := out.ReadString('\n'); err != nil || line != "held\n" {
				t.Fatalf("%q, %v", line, err)
			}
			for name, write := range map[string]func() error{
				"Do":   func() error { return f.Do(model.Edit{What: "H1", Changes: added(device("H1")...)}) },
				"Log":  func() error { _, err := f.Log(reading("G1:+", "E1:+")); return err },
				"Undo": func() error { _, err := f.Undo(); return err },
			} {
				if err := write(); !errors.Is(err, ErrLocked) || strings.Contains(err.Error(), "\n") {
					t.Errorf("%s: %v", name, err)
				}
				same(t, f.Machine(), want, name)
			}
			read, err := Open(path, ReadOnly, WithWait(20*time.Millisecond))
			if how == "exclusive" { // against readers too
				if !errors.Is(err, ErrLocked) {
					t.Errorf("a reader beside the lock: %v", err)
				}
			} else {
				must(t, err)
				same(t, read.Machine(), want, "a reader beside the lock")
				must(t, read.Close())
			}
			must(t, in.Close())
			must(t, cmd.Wait())
			must(t, f.Do(model.Edit{What: "H1", Changes: added(device("H1")...)}))
			check(t, f)
		})
	}
}

// A program that keeps the file to itself locks it for writers from the start.
func TestOwnedByAnotherProcess(t *testing.T) {
	path, _ := project(t)
	_, out, _ := start(t, ownProgram(t), "owned", path)
	if line, err := out.ReadString('\n'); err != nil || line != "held\n" {
		t.Fatalf("%q, %v", line, err)
	}
	if f, err := Open(path, ReadWrite, WithWait(10*time.Millisecond)); !errors.Is(err, ErrLocked) {
		if err == nil {
			_ = f.Close()
		}
		t.Errorf("got %v", err)
	}
}

// What another program writes is seen before the next write: the caller is told
// and repeats on the machine as it is now.
func TestAnotherProgramWrites(t *testing.T) {
	f, path := create(t)
	must(t, f.Do(small()))
	other := reopen(t, path, ReadWrite)
	h1 := model.Edit{What: "H1", Changes: added(device("H1", "1")...)}
	must(t, other.Do(h1))
	want := other.Machine().Clone()
	old := f.Machine()
	for name, write := range map[string]func() error{
		"Do": func() error { return f.Do(h1) },
	} {
		if err := write(); !errors.Is(err, ErrChanged) {
			t.Fatalf("%s: %v", name, err)
		}
		same(t, f.Machine(), want, name)
	}
	if f.Machine() == old {
		t.Error("the machine that readers hold was changed under them")
	}
	var row *model.RowError
	if err := f.Do(h1); !errors.As(err, &row) {
		t.Errorf("repeated: %v", err)
	}
	// An undo elsewhere changes no journal row's number, and is seen all the same.
	_, err := other.Undo()
	must(t, err)
	if _, err := f.Log(reading("G1:+", "E1:+")); !errors.Is(err, ErrChanged) {
		t.Fatalf("Log: %v", err)
	}
	if number, err := f.Log(reading("G1:+", "E1:+")); err != nil || number != 4 {
		t.Fatalf("Log repeated: %d, %v", number, err)
	}
	if changed, err := other.Refresh(); err != nil || !changed {
		t.Fatalf("Refresh: %v, %v", changed, err)
	}
	same(t, other.Machine(), f.Machine(), "refreshed")
	if changed, err := other.Refresh(); err != nil || changed {
		t.Fatalf("Refresh again: %v, %v", changed, err)
	}
	check(t, f)
}

// visit opens a file as somebody without rights and says what happened.
func visit(path string) error {
	for _, mode := range []Mode{ReadOnly, ReadWrite} {
		f, err := Open(path, mode, WithWait(10*time.Millisecond))
		if err != nil {
			fmt.Printf("mode %d: %v\n", mode, errorKind(err))
			continue
		}
		fmt.Printf("mode %d: %d rows\n", mode, len(f.Machine().Rows()))
		if mode == ReadWrite {
			fmt.Printf("strike: %v\n", errorKind(f.Strike(1, "x")))
		}
		if err := f.Close(); err != nil {
			return err
		}
	}
	if _, err := Create(filepath.Join(filepath.Dir(path), "new.bellout")); err != nil {
		fmt.Printf("create: %v\n", errorKind(err))
	}
	return nil
}

func errorKind(err error) error {
	var ours *Error
	if errors.As(err, &ours) {
		return ours.Kind
	}
	return err
}
