//go:build linux

package main

import (
	"bufio"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// What is no settings of the window lies aside afterwards, and the window opens.
func TestSettingsThatAreNotOurs(t *testing.T) {
	display, path := startDisplay(t), demo(t)
	for text, aside := range map[string]bool{
		`{"recent":["a",1]}`:          true, // the toolkit ends over these three
		`{"recent":3}`:                true,
		`{"width":1e300,"recent":{}}`: true,
		`{"width":1e9,"height":1e9}`:  false, // and X over this
		"":                            false,
		"\x00\x00\x00":                true,
	} {
		program := on(t, []string{"DISPLAY=" + display, eventsTo + "=1"}, path)
		config := t.TempDir()
		settings := filepath.Join(config, "fyne", programID, "preferences.json")
		if err := os.MkdirAll(filepath.Dir(settings), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(settings, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		program.Env = append(program.Env, "XDG_CONFIG_HOME="+config)
		stderr, err := program.StderrPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := program.Start(); err != nil {
			t.Fatal(err)
		}
		limit := time.AfterFunc(time.Minute, func() { _ = program.Process.Kill() })
		opened, told := false, false
		for lines := bufio.NewScanner(stderr); !opened && lines.Scan(); {
			opened = strings.HasPrefix(lines.Text(), "event proposal")
			told = told || strings.HasPrefix(lines.Text(), "bellout: "+settings+" holds no settings of the window")
		}
		time.Sleep(200 * time.Millisecond) // what ends it comes with the first frame
		if err := program.Process.Signal(syscall.Signal(0)); err != nil {
			t.Errorf("%q: the window is gone: %v", text, err)
		}
		_ = program.Process.Kill() // it has no work to lose
		if err := program.Wait(); err == nil || !strings.Contains(err.Error(), "killed") {
			t.Errorf("%q: the window ended with %v", text, err)
		}
		limit.Stop()
		kept, missing := os.ReadFile(settings + ".not-settings")
		if !opened || told != aside || aside != (missing == nil && string(kept) == text) {
			t.Errorf("%q: opened %v, told %v, aside is %q", text, opened, told, kept)
		}
	}
}

func TestNothingAsideIsLost(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	path := settingsPath()
	if err := clearSettings(); err != nil {
		t.Error("with none:", err)
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"one", "two", "three"} {
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		if err := clearSettings(); err != nil {
			t.Error(err)
		}
	}
	for name, want := range map[string]string{".not-settings": "one", ".not-settings-2": "two", ".not-settings-3": "three"} {
		if kept, err := os.ReadFile(path + name); err != nil || string(kept) != want {
			t.Errorf("%s: %q, %v", name, kept, err)
		}
	}
	if err := os.Mkdir(path, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := clearSettings(); err == nil || !strings.Contains(err.Error(), "delete it") {
		t.Errorf("a folder: %v", err)
	}
}
