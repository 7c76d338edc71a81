//go:build linux

package main

import (
	"bytes"
	"errors"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// on runs the program with surroundings of its own: on no display but what they
// say, with nothing kept from before.
func on(t testing.TB, surroundings []string, words ...string) *exec.Cmd {
	program := bellout(words...)
	program.Env = append(program.Env, "DISPLAY=", "WAYLAND_DISPLAY=", "XDG_CONFIG_HOME="+t.TempDir(), "LC_ALL=", "LANG=en_US.UTF-8", "FYNE_SCALE=1")
	program.Env = append(program.Env, surroundings...)
	return program
}

// outcome runs a program to its end.
func outcome(t testing.TB, program *exec.Cmd) (code int, out, complaint string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	program.Stdout, program.Stderr = &stdout, &stderr
	var ended *exec.ExitError
	if err := program.Run(); errors.As(err, &ended) {
		code = ended.ExitCode()
	} else if err != nil {
		t.Fatal(err)
	}
	return code, stdout.String(), stderr.String()
}

func demo(t testing.TB) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "lock.bellout")
	if text, err := bellout("demo", path).CombinedOutput(); err != nil {
		t.Fatalf("demo: %v: %s", err, text)
	}
	return path
}

// A display that takes no window is none: the program says why in one line, and
// does what it does without.
func TestADisplayThatTakesNoWindow(t *testing.T) {
	path := demo(t)
	wantCode, want, _ := outcome(t, on(t, nil, path))
	if wantCode != 1 || want == "" {
		t.Fatalf("without a display: %d, %q", wantCode, want)
	}
	_, help, _ := outcome(t, on(t, nil))
	withGL := startDisplay(t)
	withoutGL := startServer(t, "-extension", "GLX")
	for name, surroundings := range map[string][]string{
		"nobody there":            {"DISPLAY=:59871"},
		"no such host":            {"DISPLAY=127.0.0.1:59"},
		"not the name of one":     {"DISPLAY=screen"},
		"Wayland without X":       {"WAYLAND_DISPLAY=wayland-0"},
		"no OpenGL":               {"DISPLAY=" + withoutGL},
		"OpenGL without a driver": {"DISPLAY=" + withGL, "LIBGL_DRIVERS_PATH=" + t.TempDir()},
		"OpenGL of another age":   {"DISPLAY=" + withGL, "MESA_GL_VERSION_OVERRIDE=1.4"},
		"no right to the display": {"DISPLAY=" + startServer(t, "+extension", "GLX", "-auth", cookies(t)), "XAUTHORITY=/dev/null"},
	} {
		code, out, complaint := outcome(t, on(t, surroundings, path))
		if code != wantCode || out != want {
			t.Errorf("%s: exit code %d, and not what it prints without a display: %.300q", name, code, out)
		}
		if strings.Count(complaint, "\n") != 1 || !strings.HasPrefix(complaint, "bellout: no window on the display ") {
			t.Errorf("%s: not one line that says why: %q", name, complaint)
		}
		t.Logf("%s: %s", name, complaint)
		if code, out, complaint := outcome(t, on(t, surroundings)); code != 0 || out != help || strings.Count(complaint, "\n") != 1 {
			t.Errorf("%s, no file: exit code %d, %.300q, %q", name, code, out, complaint)
		}
	}
}

// cookies writes the file of a display that lets in only who knows its cookie
// (X Authority file: family, address, number, name, data, each with its length).
func cookies(t *testing.T) string {
	path := filepath.Join(t.TempDir(), "cookies")
	entry := "\xff\xff\x00\x00\x00\x00\x00\x12MIT-MAGIC-COOKIE-1\x00\x10" + strings.Repeat("k", 16)
	if err := os.WriteFile(path, []byte(entry), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// silentDisplay is one that takes who comes and says nothing.
func silentDisplay(t *testing.T) string {
	t.Helper()
	for number := range 200 {
		listener, err := net.Listen("tcp", fmt.Sprintf("127.0.0.1:%d", 6000+300+number))
		if err != nil {
			continue
		}
		t.Cleanup(func() { listener.Close() })
		return fmt.Sprintf("127.0.0.1:%d", 300+number)
	}
	t.Skip("no port is free for a display")
	return ""
}

func TestADisplayThatNeverAnswers(t *testing.T) {
	if testing.Short() {
		t.Skip("it waits as long as a person would")
	}
	t.Parallel()
	began := time.Now()
	code, _, complaint := outcome(t, on(t, []string{"DISPLAY=" + silentDisplay(t)}, demo(t)))
	if took := time.Since(began); took > displayPatience+5*time.Second {
		t.Errorf("it waited %v", took)
	}
	if code != 2 || strings.Count(complaint, "\n") != 1 || !strings.Contains(complaint, "does not answer") {
		t.Errorf("%d, %q", code, complaint)
	}
}

// Where nothing on the way to the end listens, here a library in C, the first
// signal ends the program all the same.
func TestTheFirstSignalEndsAProgramThatHangs(t *testing.T) {
	t.Parallel()
	program := on(t, []string{"DISPLAY=" + silentDisplay(t)}, demo(t))
	var complaint bytes.Buffer
	program.Stderr = &complaint
	if err := program.Start(); err != nil {
		t.Fatal(err)
	}
	time.Sleep(500 * time.Millisecond)
	began := time.Now()
	if err := program.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	var ended *exec.ExitError
	if err := program.Wait(); !errors.As(err, &ended) || ended.ExitCode() != 2 {
		t.Errorf("it ended with %v", err)
	}
	if took := time.Since(began); took > 2*time.Second {
		t.Errorf("it went on for %v", took)
	}
	if !strings.HasPrefix(complaint.String(), "bellout: stopped") || strings.Count(complaint.String(), "\n") != 1 {
		t.Errorf("it said %q", complaint.String())
	}
}

func TestALocaleWithMoreThanALanguage(t *testing.T) {
	path := demo(t)
	for _, locale := range []string{"de_DE@euro", "sr_RS@latin", "ca_ES.UTF-8@valencia", "C.UTF-8", "qq_nothing", "!!"} {
		for _, surroundings := range [][]string{{"LANG=" + locale}, {"LC_ALL=" + locale}, {"LANGUAGE=" + locale + ":en"}} {
			if code, _, complaint := outcome(t, on(t, surroundings, "nets", path)); code != 0 || complaint != "" {
				t.Errorf("%v: %d, %q", surroundings, code, complaint)
			}
		}
	}
}
