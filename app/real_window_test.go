//go:build linux

package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"bellout/model"
	"bellout/model/store"
)

// realWindow is the program on a display of its own, worked with real key and
// mouse events.
type realWindow struct {
	t       *testing.T
	path    string
	display string
	config  string
	program *exec.Cmd
	lines   chan string
	heard   []string // events since the last one that was waited for
}

// startDisplay starts a display that nobody sees; the test is skipped where
// there is no program for it.
func startDisplay(t testing.TB) string {
	t.Helper()
	for _, need := range []string{"Xvfb", "xdotool"} {
		if _, err := exec.LookPath(need); err != nil {
			t.Skipf("%s is not installed; make test installs it", need)
		}
	}
	return startServer(t, "+extension", "GLX")
}

// startServer starts the display with words of its own.
func startServer(t testing.TB, words ...string) string {
	t.Helper()
	read, write, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	server := exec.Command("Xvfb", append([]string{"-displayfd", "3", "-screen", "0", "1400x900x24", "-nolisten", "tcp"}, words...)...)
	server.ExtraFiles = []*os.File{write}
	if err := server.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = server.Process.Kill() // it has no work to lose
		_ = server.Wait()
	})
	if err := write.Close(); err != nil {
		t.Fatal(err)
	}
	number, err := bufio.NewReader(read).ReadString('\n')
	if err != nil {
		t.Fatalf("the display did not start: %v", err)
	}
	return ":" + strings.TrimSpace(number)
}

// openReal starts the program on a file, and waits until it has taken it.
func openReal(t *testing.T, display, config, path string) *realWindow {
	t.Helper()
	w := &realWindow{t: t, path: path, display: display, config: config, lines: make(chan string, 1000)}
	w.program = bellout(path)
	w.program.Env = append(w.program.Env, "DISPLAY="+display, "WAYLAND_DISPLAY=", "XDG_CONFIG_HOME="+config, "LC_ALL=", "LANG=en_US.UTF-8", "FYNE_SCALE=1", eventsTo+"=1")
	stderr, err := w.program.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := w.program.Start(); err != nil {
		t.Fatal(err)
	}
	go func() {
		scanner := bufio.NewScanner(stderr)
		for scanner.Scan() {
			w.lines <- scanner.Text()
		}
		close(w.lines)
	}()
	t.Cleanup(func() { _ = w.program.Process.Kill() })
	w.wait("event proposal")
	w.act("search", "--sync", "--onlyvisible", "--name", "Bellout")
	return w
}

// wait goes on when a line that begins with a text was written.
func (w *realWindow) wait(begin string) string {
	w.t.Helper()
	limit := time.After(time.Minute)
	for {
		select {
		case line, more := <-w.lines:
			if !more {
				w.t.Fatalf("the program ended while %q was waited for; it said %q", begin, w.heard)
			}
			if strings.Contains(line, "*** Error in Fyne call thread") || strings.HasPrefix(line, "panic:") {
				w.t.Errorf("the window toolkit complains: %s", line)
			}
			if strings.HasPrefix(line, begin) {
				w.heard = nil
				return line
			}
			w.heard = append(w.heard, line)
		case <-limit:
			w.picture("stuck")
			w.t.Fatalf("no %q for a minute; what came instead: %q", begin, w.heard)
		}
	}
}

// act has xdotool do something on the display.
func (w *realWindow) act(words ...string) {
	w.t.Helper()
	hands := exec.Command("xdotool", words...)
	hands.Env = append(os.Environ(), "DISPLAY="+w.display, "LC_ALL=C.UTF-8")
	if said, err := hands.CombinedOutput(); err != nil {
		w.t.Fatalf("xdotool %s: %v: %s", strings.Join(words, " "), err, said)
	}
}

func (w *realWindow) key(keys ...string) {
	w.t.Helper()
	w.act(append([]string{"key", "--delay", "60"}, keys...)...)
}
func (w *realWindow) write(text string) { w.t.Helper(); w.act("type", "--delay", "40", text) }
func (w *realWindow) click(x, y int) {
	w.t.Helper()
	w.act("mousemove", fmt.Sprint(x), fmt.Sprint(y), "click", "1")
}

// drag goes from one point to another with the button held.
func (w *realWindow) drag(x, y, toX, toY int) {
	w.t.Helper()
	w.act("mousemove", fmt.Sprint(x), fmt.Sprint(y), "mousedown", "1", "sleep", "0.1",
		"mousemove", fmt.Sprint((x+toX)/2), fmt.Sprint((y+toY)/2), "sleep", "0.1", "mousemove", fmt.Sprint(toX), fmt.Sprint(toY), "sleep", "0.1", "mouseup", "1")
}

// picture saves what the display shows where BELLOUT_PICTURES names a folder.
func (w *realWindow) picture(name string) {
	folder := os.Getenv("BELLOUT_PICTURES")
	if folder == "" {
		return
	}
	eyes := exec.Command("import", "-window", "root", filepath.Join(folder, name+".png"))
	eyes.Env = append(os.Environ(), "DISPLAY="+w.display)
	if said, err := eyes.CombinedOutput(); err != nil {
		w.t.Logf("no picture: %v: %s", err, said)
	}
}

// close ends the program as a person who logs off does.
func (w *realWindow) close() {
	w.t.Helper()
	if err := w.program.Process.Signal(os.Interrupt); err != nil {
		w.t.Fatal(err)
	}
	for range w.lines {
	}
	if err := w.program.Wait(); err != nil {
		w.t.Errorf("the window did not end well: %v", err)
	}
	if left, err := filepath.Glob(w.path + "?*"); err != nil || len(left) > 0 {
		w.t.Errorf("it let the file go, and beside it lie %v, %v", left, err)
	}
}

// inFile returns the machine as the file holds it.
func inFile(t *testing.T, path string) *model.Machine {
	t.Helper()
	file, err := store.Open(path, store.ReadOnly)
	if err != nil {
		t.Fatal(err)
	}
	machine := file.Machine()
	if err := file.Close(); err != nil {
		t.Fatal(err)
	}
	return machine
}

func TestTheRealWindowByKeyAndMouse(t *testing.T) {
	display, config := startDisplay(t), t.TempDir()
	path := filepath.Join(t.TempDir(), "lock.bellout")
	if text, err := bellout("demo", path).CombinedOutput(); err != nil {
		t.Fatalf("demo: %v: %s", err, text)
	}
	before := len(inFile(t, path).Readings)
	w := openReal(t, display, config, path)
	w.picture("real-open")

	// a probe by keyboard; the caution card comes first, and Enter answers it
	w.key("ctrl+l")
	w.write("F1:2")
	w.key("Tab")
	w.write("F1:1")
	w.key("Tab")
	w.wait("event tips F1:2 F1:1")
	w.write("b")
	w.key("Return")
	w.picture("real-caution")
	w.key("Return")
	w.wait("event answered 61 agrees")
	w.picture("real-answer")
	if got := len(inFile(t, path).Readings); got != before+1 {
		t.Errorf("%d readings in the file after a probe was logged, want %d", got, before+1)
	}

	// taken back
	w.key("ctrl+z")
	w.wait("event notice Taken back")
	if r, there := inFile(t, path).Reading(61); !there || r.Stands() {
		t.Error("the reading that was taken back still stands")
	}

	// the proposed probe
	w.wait("event proposal")
	w.key("F6")
	w.wait("event tips")
	w.write("s")
	w.key("Return")
	w.wait("event answered 62")

	// a device is noted as failed, and its paths are seen
	w.key("F2", "ctrl+f")
	w.write("E1")
	w.key("Return")
	w.wait(`event selected 1 "E1"`)
	w.wait(`event selected 1 "E1" lit "upstream of E1"`)
	w.key("ctrl+shift+f")
	w.wait("event notice E1 is noted as failed")
	w.picture("real-failed")

	// its box is dragged to another place on the chart, with the mouse
	w.drag(736, 490, 656, 410) // it stands in the middle, where it was found
	w.wait("event map")
	w.picture("real-dragged")
	moved, there := inFile(t, path).Place("E1")
	if !there {
		t.Error("the file does not know where E1 was put on the chart")
	}

	// the findings, with the mouse
	w.key("Escape", "Escape", "F3")
	w.wait(`event selected 5`) // the first finding
	w.key("ctrl+shift+i")
	w.wait(`event selected 1 "A2"`) // the first of the failed devices
	w.click(700, 400)
	w.wait(`event selected 1 "B`) // one of those below it
	w.picture("real-findings")

	// the wire that joins two rails is taken out of the map, and its finding goes
	w.key("F4", "ctrl+Next", "ctrl+Next", "ctrl+Next", "ctrl+i")
	w.write("W228")
	w.key("Return", "Down", "Return")
	w.key("Tab", "Tab", "Tab", "Tab", "Tab", "Tab", "Tab", "ctrl+a")
	w.picture("real-edit")
	w.write("yes")
	w.key("Return")
	w.wait("event notice removed of W228")
	w.picture("real-edited")

	w.close()
	machine := inFile(t, path)
	if wire, _ := machine.Wire("W228"); !wire.Removed {
		t.Error("in the file W228 is not removed")
	}
	if d, _ := machine.Device("E1"); d.Health != model.HealthFailed {
		t.Errorf("in the file E1 is %q, want failed", d.Health)
	}
	text, err := bellout("check", path, "--json").Output()
	if code := exitCode(err); code != 1 {
		t.Fatalf("check on the same file exits with %d: %v", code, err)
	}
	var report struct{ Findings []struct{ Rule string } }
	if err := json.Unmarshal(text, &report); err != nil {
		t.Fatal(err)
	}
	if slices.ContainsFunc(report.Findings, func(f struct{ Rule string }) bool { return f.Rule == "rail-cross" }) {
		t.Error("the command line still sees the crossing rail, which was mended in the window")
	}
	if !slices.ContainsFunc(report.Findings, func(f struct{ Rule string }) bool { return f.Rule == "mixed-ground" }) {
		t.Error("the command line does not see the mixed ground any more, which nobody mended")
	}

	again := openReal(t, display, config, path)
	again.picture("real-again")
	again.close()
	if after, _ := inFile(t, path).Place("E1"); after != moved {
		t.Errorf("E1 stands at %v after it was opened once more, it was put at %v", after, moved)
	}
	if got := len(inFile(t, path).Readings); got != before+2 {
		t.Errorf("%d readings after it was opened once more, want %d", got, before+2)
	}
}

func exitCode(err error) int {
	if exit, ok := err.(*exec.ExitError); ok {
		return exit.ExitCode()
	}
	return 0
}
