package command

import (
	"bufio"
	"context"
	"encoding/json"
	"io"
	"strings"
	"testing"
	"time"

	"bellout/faults"
	"bellout/faults/nextprobe"
	"bellout/model"
	"bellout/model/store"
)

// bench is a station with somebody in front of it.
type bench struct {
	t       *testing.T
	in      *io.PipeWriter
	answers *bufio.Scanner
	code    chan int
	stop    context.CancelFunc
	broke   error // what ended it, once the code is there
	breaks  bool  // that is looked at by the test
}

// sitDown starts a station over a file.
func sitDown(t *testing.T, path string, words ...string) *bench {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	inRead, inWrite := io.Pipe()
	outRead, outWrite := io.Pipe()
	file, err := openFile(ctx, path, store.ReadWrite, store.WithClock(clockAtNoon))
	if err != nil {
		t.Fatal(err)
	}
	words = append([]string{"--goal"}, words...)
	console := &Console{Out: outWrite, Err: io.Discard, Now: clockAtNoon}
	s := newStationOver(file, faults.Diagnose(file.Snapshot()), nextprobe.Options{Goal: nextprobe.Goal(words[1])}, console)
	b := &bench{t: t, in: inWrite, answers: bufio.NewScanner(outRead), code: make(chan int, 1), stop: stop}
	b.answers.Buffer(nil, 1<<20)
	go func() {
		code := ExitDone
		if b.broke = s.run(ctx, bufio.NewReader(inRead)); b.broke != nil {
			code = ExitBad
		}
		if err := s.file.Close(); err != nil {
			t.Error(err)
		}
		outWrite.Close()
		b.code <- code
	}()
	t.Cleanup(func() {
		stop()
		inWrite.Close()
		if _, err := io.Copy(io.Discard, outRead); err != nil {
			t.Error(err)
		}
		<-b.code
		if b.broke != nil && !b.breaks {
			t.Errorf("the sitting broke: %v", b.broke)
		}
	})
	return b
}

// hear reads one line of the station's, as JSON.
func (b *bench) hear() map[string]any {
	b.t.Helper()
	if !b.answers.Scan() {
		b.t.Fatalf("the station says nothing more: %v", b.answers.Err())
	}
	var said map[string]any
	if err := json.Unmarshal(b.answers.Bytes(), &said); err != nil {
		b.t.Fatalf("%q: %v", b.answers.Text(), err)
	}
	return said
}

// say answers, and reads what it means and the line after.
func (b *bench) say(answer string) (means, next map[string]any) {
	b.t.Helper()
	if _, err := io.WriteString(b.in, answer+"\n"); err != nil {
		b.t.Fatal(err)
	}
	return b.hear(), b.hear()
}

// An interrupt ends a sitting that waits for an answer, with the last line.
func TestStationEndsWhenItsContextDoes(t *testing.T) {
	b := sitDown(t, lampFile(t), "verify")
	b.hear()
	b.say(`{"value":0.25}`)
	b.stop()
	told := make(chan map[string]any, 1)
	go func() { told <- b.hear() }()
	select {
	case last := <-told:
		if last["done"] != true || last["stopped"] != true || last["probes"] != 1.0 {
			t.Errorf("it ends with %v", last)
		}
	case <-time.After(10 * time.Second):
		b.in.Close()
		t.Fatal("it goes on waiting for an answer")
	}
}

// logs stores a reading as another program.
func logs(t *testing.T, path string, words ...string) {
	t.Helper()
	if _, errs, code := call(t, Console{}, append([]string{"log", path}, words...)...); code != ExitDone {
		t.Fatalf("log ended with %d: %s", code, errs)
	}
}

// struckOut returns the numbers of the readings that are struck out.
func struckOut(t *testing.T, path string) (numbers []int64) {
	t.Helper()
	machine, err := readMachine(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	for _, reading := range machine.Readings {
		if !reading.Stands() {
			numbers = append(numbers, reading.Number)
		}
	}
	return numbers
}

func TestStationUndoesOnlyItsOwnReadings(t *testing.T) {
	path := lampFile(t)
	logs(t, path, "G1:+", "E1:+", "0.3") // reading 1, before it sits down
	b := sitDown(t, path, "verify")
	b.hear()
	if means, _ := b.say(`{"undo":true}`); means["error"] == nil {
		t.Errorf("the reading of another program is undone: %v", means)
	}
	b.say(`{"value":0.25}`)              // reading 2
	logs(t, path, "G1:+", "E1:+", "0.4") // reading 3, of another program
	if means, _ := b.say(`{"undo":true}`); means["undone"] != 2.0 {
		t.Errorf("undo says %v, want reading 2 struck out", means)
	}
	if means, _ := b.say(`{"undo":true}`); means["error"] == nil {
		t.Errorf("nothing of this sitting is left, and undo says %v", means)
	}
	if _, err := io.WriteString(b.in, `{"stop":true}`+"\n"); err != nil {
		t.Fatal(err)
	}
	if last := b.hear(); last["probes"] != 0.0 {
		t.Errorf("it ends with %v", last)
	}
	if got := struckOut(t, path); len(got) != 1 || got[0] != 2 {
		t.Errorf("struck out: %v, want reading 2 alone", got)
	}
}

func TestStationCountsWhatStandsOfThisSitting(t *testing.T) {
	path := lampFile(t)
	b := sitDown(t, path, "verify")
	b.hear()
	b.say(`{"value":0.25}`)
	b.say(`{"value":0.25}`)
	strike(t, path, 2)
	if means, _ := b.say(`{"undo":true}`); means["error"] == nil || !strings.Contains(means["error"].(string), "reading 2") {
		t.Errorf("reading 2 was struck out by another program, and undo says %v", means)
	}
	if _, err := io.WriteString(b.in, `{"stop":true}`+"\n"); err != nil {
		t.Fatal(err)
	}
	if last := b.hear(); last["probes"] != 1.0 {
		t.Errorf("it ends with %v", last)
	}
}

// withFile edits a project as another program does.
func withFile(t *testing.T, path string, edit func(*store.File) error) {
	t.Helper()
	file, err := store.Open(path, store.ReadWrite)
	if err != nil {
		t.Fatal(err)
	}
	if err := edit(file); err != nil {
		t.Fatal(err)
	}
	if err := file.Close(); err != nil {
		t.Fatal(err)
	}
}

func strike(t *testing.T, path string, number int64) {
	t.Helper()
	withFile(t, path, func(f *store.File) error { return f.Strike(number, "wrong tip") })
}

// remove takes a wire out of the map, keeping its name.
func remove(t *testing.T, path, name string) {
	t.Helper()
	withFile(t, path, func(f *store.File) error {
		wire, _ := f.Machine().Wire(name)
		gone := wire
		gone.Removed = true
		return f.Do(model.Edit{What: "removed " + name, Changes: []model.Change{{Before: wire, After: gone}}})
	})
}

// After another program changed the map, the probe is worked out from what is
// there now, even where the answer was refused.
func TestStationAsksAnewAfterTheMapChanged(t *testing.T) {
	path := lampFile(t)
	b := sitDown(t, path, "verify")
	first := b.hear()
	machine, err := readMachine(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	for _, wire := range machine.Wires { // nothing of what the first probe proves is left
		remove(t, path, wire.Name)
	}
	_, next := b.say(`{"undo":true}`)
	changed, err := readMachine(t.Context(), path)
	if err != nil {
		t.Fatal(err)
	}
	want := nextprobe.New(faults.Diagnose(changed), nextprobe.Options{Goal: nextprobe.Verify}).Next()
	if want.Done != (next["done"] == true) || !want.Done && next["why"] != want.Why {
		t.Errorf("first %v\nthen %v\nwant %+v", first["why"], next, want)
	}
}

// A wire that a reading found goes with it, also when others wrote since.
func TestStationUndoTakesTheFoundWireAlong(t *testing.T) {
	for _, others := range []bool{false, true} {
		path := lampFile(t)
		var missing []model.Wire // two, so that mapping goes on after it found the first
		withFile(t, path, func(f *store.File) error {
			edit := model.Edit{What: "nobody wrote these down"}
			for _, name := range []string{"W3", "W4"} {
				wire, _ := f.Machine().Wire(name)
				missing = append(missing, wire)
				edit.Changes = append(edit.Changes, model.Change{Before: wire})
			}
			return f.Do(edit)
		})
		b := sitDown(t, path, "map")
		next := b.hear()
		found := false
		for range 30 {
			if next["done"] == true {
				break
			}
			probe := next["probe"].(map[string]any)
			tips := [2]string{probe["red"].(string), probe["black"].(string)}
			value := `{"value":"OL"}`
			for _, wire := range missing {
				if ends := [2]string{wire.From.String(), wire.To.String()}; tips == ends || tips == [2]string{ends[1], ends[0]} {
					value, found = `{"value":0.2}`, true
				}
			}
			if found {
				if _, err := io.WriteString(b.in, value+"\n"); err != nil {
					t.Fatal(err)
				}
				if means := b.hear(); means["outcome"] != "discovery" {
					t.Fatalf("a wire that nobody wrote down is %v", means)
				}
				next = b.hear()
				break
			}
			_, next = b.say(value)
		}
		if !found || next["done"] == true {
			t.Fatalf("mapping found none of the two, or ended: %v", next)
		}
		if others {
			logs(t, path, "G1:+", "F1:1", "0.3")
		}
		if means, _ := b.say(`{"undo":true}`); means["undone"] == nil {
			t.Errorf("undo says %v", means)
		}
		machine, err := readMachine(t.Context(), path)
		if err != nil {
			t.Fatal(err)
		}
		if len(machine.Wires) != 2 || len(struckOut(t, path)) != 1 {
			t.Errorf("others wrote %v: %d wires left, struck out %v", others, len(machine.Wires), struckOut(t, path))
		}
	}
}
