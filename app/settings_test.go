//go:build linux

package main

import (
	"bufio"
	"log"
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

// The settings that all programs of the toolkit share are not ours to put aside:
// where they are broken, one line says so, and the window opens without them.
func TestSharedSettingsThatAreBroken(t *testing.T) {
	display, path := startDisplay(t), demo(t)
	for text, says := range map[string]string{
		"{": " cannot be read as settings; ", `{"scale":"large","theme":7}`: " cannot be read as settings; ",
		"\x00\x00": " cannot be read as settings; ", `[]`: " cannot be read as settings; ",
		`{"scale":1e6}`: " asks for everything 1e+06 times as large; ", `{"scale":1e-9}`: " asks for everything 1e-09 times as large; ",
	} {
		config := t.TempDir()
		settings := filepath.Join(config, "fyne", "settings.json")
		if err := os.MkdirAll(filepath.Dir(settings), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(settings, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		program := on(t, []string{"DISPLAY=" + display, eventsTo + "=1", "XDG_CONFIG_HOME=" + config, "FYNE_SCALE="}, path)
		stderr, err := program.StderrPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := program.Start(); err != nil {
			t.Fatal(err)
		}
		limit := time.AfterFunc(time.Minute, func() { _ = program.Process.Kill() })
		opened, told := false, []string{}
		for lines := bufio.NewScanner(stderr); !opened && lines.Scan(); {
			opened = strings.HasPrefix(lines.Text(), "event proposal")
			if !strings.HasPrefix(lines.Text(), "event ") {
				told = append(told, lines.Text())
			}
		}
		_ = program.Process.Kill() // it has no work to lose
		_ = program.Wait()
		limit.Stop()
		if !opened || len(told) != 1 || !strings.HasPrefix(told[0], "bellout: "+settings+says) {
			t.Errorf("%q: opened %v, told %q", text, opened, told)
		}
		if kept, err := os.ReadFile(settings); err != nil || string(kept) != text {
			t.Errorf("%q: it is %q now, %v", text, kept, err)
		}
	}
}

// Whatever else the toolkit complains of is one line too; what is no complaint of
// its own passes.
func TestComplaintsAreOneLine(t *testing.T) {
	var out strings.Builder
	logger := log.New(&complaints{to: &out}, "", 0)
	logger.Println("Fyne error: ", "no such icon")
	logger.Println("  Cause:", "not found: x.svg")
	logger.Printf("  At: %s:%d", "icon.go", 12)
	logger.Println("something else")
	logger.Println("Fyne error: ", "no cause")
	logger.Printf("  At: %s:%d", "icon.go", 13)
	if want := "bellout: the window: no such icon (not found: x.svg)\nbellout: something else\nbellout: the window: no cause\n"; out.String() != want {
		t.Errorf("%q, want %q", out.String(), want)
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
