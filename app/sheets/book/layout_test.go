package book

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"bellout/app/drawing"
	"bellout/assets"
	"bellout/model"
	"bellout/model/sample"
	"bellout/model/store"
)

// check draws every page of every sheet of a book, with contents and alone, and
// complains of what leaves its page or lies over another text.
func check(t interface {
	Fatal(...any)
	Errorf(string, ...any)
}, job Job) {
	sheets, err := Make(noContext, job, nil)
	if err != nil {
		t.Fatal(err)
	}
	bound := Bind(sheets...)
	count := 0
	for i := 1; i <= bound.Pages(); i++ {
		width, height := bound.Size(i)
		r := &recorder{page: box(0, 0, width, height)}
		bound.Draw(i, r)
		sheet, _ := bound.Sheet(i)
		for _, complaint := range r.complaints {
			if count++; count < 12 {
				t.Errorf("page %d, %s: %s", i, sheet.Name, complaint)
			}
		}
		for _, anchor := range r.links {
			if _, there := bound.pageOf(anchor); !there {
				t.Errorf("page %d, %s: a link leads to %s, which is nowhere", i, sheet.Name, anchor)
			}
		}
	}
	if count > 12 {
		t.Errorf("and %d more", count-11)
	}
}

func TestNothingLeavesItsPageOrLiesOverAnother(t *testing.T) {
	for _, state := range assets.DemoStates {
		for _, paper := range Papers {
			t.Run(state+" on "+string(paper), func(t *testing.T) {
				check(t, Job{Title: "Lantern Lock", Machine: demo(t, state), State: strings.ReplaceAll(state, "-", " "), Now: noon, Paper: paper, Journal: journal(40)})
			})
		}
	}
	t.Run("a machine of 3,000 terminals", func(t *testing.T) {
		check(t, Job{Title: "sample", Machine: sample.Machine(1, 3000), Now: noon})
	})
	t.Run("nothing at all", func(t *testing.T) {
		check(t, Job{Title: "", Machine: model.NewMachine(), Now: noon})
	})
}

func TestAnyMachineStaysOnItsPages(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := sample.Draw(t)
		check(t, Job{Title: rapid.SampledFrom(hostile).Draw(t, "title"), Machine: m, State: rapid.SampledFrom(hostile).Draw(t, "state"), Now: noon, Paper: rapid.SampledFrom(Papers).Draw(t, "paper")})
	})
}

func journal(rows int) []store.JournalRow {
	list := make([]store.JournalRow, rows)
	for i := range list {
		list[i] = store.JournalRow{ID: int64(rows - i), At: noon, What: "wire W" + fmt.Sprint(i) + " moved from one end to the other " + hostile[i%len(hostile)], Changes: 3, State: store.Done}
	}
	return list
}

// hostile are names that nobody means to write and files hold all the same.
var hostile = []string{
	`"quoted", with a comma`, "=1+1", "עברית", "العربية", "😀👩🔧", "漢字かな", "a\u202eb", "cafe\u0301", "<b>&amp;", strings.Repeat("long name ", 50), strings.Repeat("W", 500), "",
}

// TestHostileNames gives every text of the demo that is free a name of that kind.
func TestHostileNames(t *testing.T) {
	m := demo(t, assets.AsFound).Clone()
	at := 0
	name := func() string { at++; return hostile[at%len(hostile)] }
	for i := range m.Devices {
		m.Devices[i].Title, m.Devices[i].Zone, m.Devices[i].Note = name(), name(), name()
	}
	for i := range m.Wires {
		m.Wires[i].Cable = name()
	}
	for i := range m.Readings {
		m.Readings[i].Note, m.Readings[i].Meter = name(), name()
	}
	for i := range m.Bonds {
		m.Bonds[i].Reason = name()
	}
	check(t, Job{Title: strings.Repeat("long title ", 40), Machine: m, State: hostile[9], Now: noon, Journal: journal(30)})
}

// TestHostileReferences names devices, terminals and wires as badly as the model
// allows: no spaces, no semicolons, no colons.
func TestHostileReferences(t *testing.T) {
	m := demo(t, assets.AsFound)
	names := []string{`"X,1"`, "=1+1", "עברית", "😀", strings.Repeat("Q", 480)}
	refs, wires := map[string]string{}, map[string]string{}
	for i, d := range m.Devices {
		if i%3 == 0 {
			refs[d.Ref] = names[i/3%len(names)] + fmt.Sprint(i)
		}
	}
	for i, w := range m.Wires {
		if i%3 == 0 {
			wires[w.Name] = names[i/3%len(names)] + fmt.Sprint(i)
		}
	}
	check(t, Job{Title: "hostile", Machine: renamed(t, m, refs, wires), Now: noon})
}

// renamed is a machine with other names for some devices and wires; readings with
// conditions stay behind.
func renamed(t testing.TB, m *model.Machine, refs, wires map[string]string) *model.Machine {
	t.Helper()
	ref := func(name string) string {
		if to, there := refs[name]; there {
			return to
		}
		return name
	}
	terminal := func(r model.TerminalRef) model.TerminalRef {
		return model.TerminalRef{Device: ref(r.Device), Mark: r.Mark}
	}
	edit := model.Edit{}
	for _, row := range m.Rows() {
		switch row := row.(type) {
		case model.Device:
			row.Ref = ref(row.Ref)
			edit.Changes = append(edit.Changes, model.Change{After: row})
		case model.Terminal:
			row.Device = ref(row.Device)
			edit.Changes = append(edit.Changes, model.Change{After: row})
		case model.Link:
			row.Device = ref(row.Device)
			edit.Changes = append(edit.Changes, model.Change{After: row})
		case model.Wire:
			if to, there := wires[row.Name]; there {
				row.Name = to
			}
			row.From, row.To = terminal(row.From), terminal(row.To)
			edit.Changes = append(edit.Changes, model.Change{After: row})
		case model.Bond:
			row.From, row.To = terminal(row.From), terminal(row.To)
			edit.Changes = append(edit.Changes, model.Change{After: row})
		case model.Reading:
			if len(row.Conditions) == 0 {
				row.Red, row.Black = terminal(row.Red), terminal(row.Black)
				edit.Changes = append(edit.Changes, model.Change{After: row})
			}
		}
	}
	to := model.NewMachine()
	if err := to.Apply(edit); err != nil {
		t.Fatal(err)
	}
	return to
}

// A net of thousands of terminals stands in the net list whole.
func TestTheNetListIsWhole(t *testing.T) {
	m := sample.Machine(1, 6000)
	text := strings.Join(strings.Fields(written(t, Job{Title: "sample", Machine: m, Now: noon}, "netlist")), " ")
	wired := map[model.TerminalRef]bool{}
	for _, w := range m.Wires {
		wired[w.From], wired[w.To] = true, true
		if !strings.Contains(text, w.Name) {
			t.Fatalf("the net list lacks wire %s", w.Name)
		}
	}
	lacking := 0
	for ref := range wired {
		if !strings.Contains(text, ref.String()) {
			lacking++
		}
	}
	if lacking > 0 {
		t.Errorf("the net list lacks %d of %d terminals", lacking, len(wired))
	}
}

func TestWordsWrap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.SampledFrom(hostile), rapid.String(), rapid.StringMatching(`[A-Z]{1,30}:[0-9]{1,30}( [a-z]{1,40}){0,12}`)).Draw(t, "text")
		width := rapid.Float64Range(3, 120).Draw(t, "width")
		most := rapid.IntRange(1, 30).Draw(t, "most")
		lines := drawing.Wrap(text, 2.5, 0, width, most)
		if len(lines) == 0 || len(lines) > most {
			t.Fatalf("%d lines of at most %d", len(lines), most)
		}
		joined := ""
		for _, line := range lines {
			joined += line
			if utf8.RuneCountInString(line) > 1 && drawing.Measure(line, 2.5, 0) > width+0.01 && !strings.HasSuffix(line, "…") {
				t.Fatalf("line %q is wider than %g", line, width)
			}
		}
		// But for blanks, nothing is lost unless the last line says so.
		bare := func(s string) string { return strings.Join(strings.Fields(s), "") }
		if got, want := bare(joined), bare(drawing.Clean(text)); got != want && !strings.HasSuffix(joined, "…") {
			t.Fatalf("%q was set of %q", got, want)
		}
	})
}

func TestCutsHoldTheirLength(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		to := rapid.Float64Range(10, 5000).Draw(t, "to")
		length := rapid.Float64Range(100, 1200).Draw(t, "length")
		var spans []span
		for range rapid.IntRange(0, 30).Draw(t, "spans") {
			from := rapid.Float64Range(0, to).Draw(t, "from")
			spans = append(spans, span{from, from + rapid.Float64Range(1, 900).Draw(t, "size")})
		}
		places := cuts(0, to, length, spans)
		if places[0] != 0 || places[len(places)-1] != to {
			t.Fatalf("the cuts %v do not begin and end with the chart", places)
		}
		for i := 1; i < len(places); i++ {
			if places[i] <= places[i-1] || places[i]-places[i-1] > length+1e-6 {
				t.Fatalf("part %d of %v is longer than %g, or nothing", i, places, length)
			}
		}
	})
}
