package atomicfile

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

// Some tests need a second process: this test program, started again to write a
// file that is never done.
const pathVariable = "BELLOUT_ATOMICFILE_TEST_PATH"

func TestMain(m *testing.M) {
	if path := os.Getenv(pathVariable); path != "" {
		err := Write(path, true, func(out io.Writer) error {
			fmt.Println("writing")
			_, err := io.Copy(out, os.Stdin)
			return err
		})
		if err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// startWriting has another process write a file until its input ends.
func startWriting(t *testing.T, path string) (*exec.Cmd, io.WriteCloser) {
	t.Helper()
	program, err := os.Executable()
	must(t, err)
	cmd := exec.Command(program)
	cmd.Env = append(os.Environ(), pathVariable+"="+path)
	out, err := cmd.StdoutPipe()
	must(t, err)
	in, err := cmd.StdinPipe()
	must(t, err)
	must(t, cmd.Start())
	t.Cleanup(func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
	})
	if line, err := bufio.NewReader(out).ReadString('\n'); line != "writing\n" {
		t.Fatalf("%q, %v", line, err)
	}
	return cmd, in
}

// What a killed process leaves goes with the next write into that folder; what
// a running one is at stays, and becomes whole.
func TestWhatAKillLeavesIsSweptUp(t *testing.T) {
	dir := t.TempDir()
	killed, _ := startWriting(t, filepath.Join(dir, "a.csv"))
	must(t, killed.Process.Kill())
	_ = killed.Wait()
	left := only(t, dir, folderPrefix)
	running, in := startWriting(t, filepath.Join(dir, "b.csv")) // sweeps, and is not swept below
	draft := only(t, dir, folderPrefix)
	if draft == left {
		t.Fatalf("%s was left by a killed process, and is still there", left)
	}
	must(t, Write(filepath.Join(dir, "c.csv"), false, say("c")))
	if now := only(t, dir, folderPrefix); now != draft {
		t.Errorf("the draft of a running process was swept up: %s, then %s", draft, now)
	}
	_, err := io.WriteString(in, "b")
	must(t, errors.Join(err, in.Close(), running.Wait()))
	alone(t, dir, "b.csv", "c.csv")
	if got := read(t, filepath.Join(dir, "b.csv")); got != "b" {
		t.Errorf("the file of the running process holds %q", got)
	}
}

// Drafts of older versions have no mark: they go by their age.
func TestLeftoversOfOlderVersions(t *testing.T) {
	dir := t.TempDir()
	make := func(name string, age time.Duration) {
		path := filepath.Join(dir, name)
		must(t, os.MkdirAll(filepath.Dir(path), 0o755))
		must(t, os.WriteFile(path, nil, 0o644))
		for ; path != dir; path = filepath.Dir(path) {
			must(t, os.Chtimes(path, time.Time{}, time.Now().Add(-age)))
		}
	}
	make(folderPrefix+"1/lock.bellout", 2*leftAfter)
	make(folderPrefix+"2/lock.bellout", time.Minute)
	make(".bellout-123.part", 2*leftAfter)
	make(".bellout-124.part", time.Minute)
	make(".other-program.part", 2*leftAfter)
	make("lock.part", 2*leftAfter)
	Sweep(dir)
	alone(t, dir, ".bellout-124.part", folderPrefix+"2", ".other-program.part", "lock.part")
}

// Another process takes a folder for a left one between its making and its
// locking: the maker sees that and makes another.
func TestAFolderThatIsSweptBeforeItIsLocked(t *testing.T) {
	dir := t.TempDir()
	swept := 0
	beforeLock = func() {
		if swept++; swept < 3 {
			Sweep(dir)
		}
	}
	defer func() { beforeLock = nil }()
	f, err := MakeFolder(dir)
	must(t, err)
	if swept != 3 {
		t.Errorf("%d folders were made, want 3", swept)
	}
	beforeLock = nil
	Sweep(dir)
	must(t, os.WriteFile(f.Path("draft"), nil, 0o644))
	must(t, f.Remove())
	alone(t, dir)
}

// Nobody else enters the folder, and its name cannot be guessed.
func TestFolderIsOurOwn(t *testing.T) {
	dir := t.TempDir()
	a, err := MakeFolder(dir)
	must(t, err)
	b, err := MakeFolder(dir)
	must(t, err)
	if about, err := os.Stat(a.path); err != nil || about.Mode().Perm() != 0o700 {
		t.Errorf("%v, %v", about.Mode(), err)
	}
	if filepath.Base(a.path) == filepath.Base(b.path) {
		t.Error("two folders of one name")
	}
	must(t, errors.Join(a.Remove(), b.Remove()))
	alone(t, dir)
}
