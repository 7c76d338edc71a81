//go:build linux

package main

import (
	"bufio"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// BenchmarkStart starts the program on the demo machine, on a display of its
// own, and notes when the window has taken the file, so that probes can be
// logged, and when it proposes one. The plain way is a window of the toolkit
// with one word in it. All of them from the start of the process; the median.
func BenchmarkStart(b *testing.B) {
	display, config := startDisplay(b), b.TempDir()
	path := filepath.Join(b.TempDir(), "lock.bellout")
	if text, err := bellout("demo", path).CombinedOutput(); err != nil {
		b.Fatalf("demo: %v: %s", err, text)
	}
	surroundings := []string{"DISPLAY=" + display, "WAYLAND_DISPLAY=", "XDG_CONFIG_HOME=" + config, "LC_ALL=", "LANG=en_US.UTF-8", "FYNE_SCALE=1"}
	var usable, proposed, empty []time.Duration
	for b.Loop() {
		ours := bellout(path)
		ours.Env = append(append(ours.Env, surroundings...), eventsTo+"=1")
		took := untilSaid(b, ours, "event file", "event proposal")
		usable, proposed = append(usable, took[0]), append(proposed, took[1])
		plain := bellout()
		plain.Env = append(append(plain.Env, surroundings...), asBellout+"=", asEmptyWindow+"=1")
		empty = append(empty, untilSaid(b, plain, "event started")[0])
	}
	milliseconds := func(of []time.Duration) float64 {
		slices.Sort(of)
		return float64(of[len(of)/2].Microseconds()) / 1000
	}
	b.ReportMetric(milliseconds(usable), "ms-usable")
	b.ReportMetric(milliseconds(proposed), "ms-proposal")
	b.ReportMetric(milliseconds(empty), "ms-empty-window")
}

// untilSaid starts a program, notes how long it takes to write lines that begin
// with some words, one after another, and ends it.
func untilSaid(b *testing.B, program *exec.Cmd, words ...string) []time.Duration {
	b.Helper()
	stderr, err := program.StderrPipe()
	if err != nil {
		b.Fatal(err)
	}
	began := time.Now()
	if err := program.Start(); err != nil {
		b.Fatal(err)
	}
	defer func() {
		_ = program.Process.Kill()
		_ = program.Wait()
	}()
	var took []time.Duration
	lines := bufio.NewScanner(stderr)
	for len(took) < len(words) && lines.Scan() {
		if strings.HasPrefix(lines.Text(), words[len(took)]) {
			took = append(took, time.Since(began))
		}
	}
	if len(took) < len(words) {
		b.Fatalf("%v ended before it said %q", program.Args, words[len(took)])
	}
	return took
}
