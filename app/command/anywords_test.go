package command

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestAnyWords types words in any order, sensible or not: whatever comes, the
// exit code is 0, 1 or 2; 2 means one line on standard error, nothing on
// standard output and the project file as it was.
func TestAnyWords(t *testing.T) {
	sound := lampFile(t)
	whole, err := os.ReadFile(sound)
	if err != nil {
		t.Fatal(err)
	}
	lamp, err := filepath.Abs(filepath.Join("testdata", "lamp"))
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	t.Chdir(dir) // a word may well be taken for the name of a new file
	file := filepath.Join(dir, "lamp.bellout")
	words := []string{
		file, dir, lamp, filepath.Join(dir, "missing"), "", "-", "--", "-h", "--json", "--json=maybe",
		"--mode", "--mode=volts-dc", "--when", "unplugged G1", "lifted W9;open S1:1-2", "--drift", "rising", "--at", "--as", "csv", "wirelist",
		"-o", filepath.Join(dir, "out.txt"), filepath.Join(dir, "out"), "G1:+", "G1:-", "E1:+", "E1:-", "F1:1-2", "W4", "E1", "beep", "silent",
		"OL", "-0.3", "4.7k", "1e999", "G1:", ":+", "\x00", "\n", "Ω", "--state", "as-found", "--nosuch", "-z", "help",
	}
	commands := []string{"import", "export", "nets", "log", "check", "expect", "trace", "whatif", "suspects", "next", "demo", "help", "completion", ""}
	rapid.Check(t, func(t *rapid.T) {
		if err := os.WriteFile(file, whole, 0o644); err != nil {
			t.Fatal(err)
		}
		args := []string{rapid.SampledFrom(commands).Draw(t, "command")}
		if rapid.Bool().Draw(t, "names the file") {
			args = append(args, file)
		}
		args = append(args, rapid.SliceOfN(rapid.SampledFrom(words), 0, 6).Draw(t, "words")...)
		var out, errs bytes.Buffer
		code := Run(t.Context(), args, Console{Out: &out, Err: &errs, Now: clockAtNoon})
		switch code {
		case ExitDone, ExitFault:
			if errs.Len() > 0 {
				t.Fatalf("%q: exit code %d, and yet standard error says %q", args, code, errs.String())
			}
		case ExitBad:
			if out.Len() > 0 || strings.Count(errs.String(), "\n") != 1 || !strings.HasPrefix(errs.String(), "bellout: ") {
				t.Fatalf("%q: printed %q, standard error %q", args, out.String(), errs.String())
			}
			if now, err := os.ReadFile(file); err != nil || !bytes.Equal(now, whole) {
				t.Fatalf("%q: bad input, and yet the project file changed (%v)", args, err)
			}
		default:
			t.Fatalf("%q: exit code %d", args, code)
		}
	})
}
