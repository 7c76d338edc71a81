package textout

import (
	"errors"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func render(width int, colour bool, write func(*Page)) string {
	var out strings.Builder
	p := New(&out, width, colour)
	write(p)
	if err := p.Flush(); err != nil {
		return "error: " + err.Error()
	}
	return out.String()
}

func TestPage(t *testing.T) {
	table := func(p *Page) {
		p.Table([]Column{{Title: "wire"}, {Title: "ohm", Right: true}, {Title: "note"}, {Title: "terminals", Wrap: true}}, [][]string{
			{"W1", "0.5", "", "G1:+ F1:1"},
			{"W20", "12", "", "A1:1 A1:2 A1:3 A1:4 A1:5 A1:6 A1:7 A1:8 A1:9"},
		})
	}
	for _, row := range []struct {
		name  string
		write func(*Page)
		want  string
	}{
		{"a paragraph breaks at words", func(p *Page) { p.Text("one two three four five six seven eight nine ten") },
			"one two three four five six seven eight nine ten\n"},
		{"a hanging text lines up beside its label", func(p *Page) { p.Hanging("fault  ", strings.Repeat("word ", 12)) },
			"fault  word word word word word word word word\n       word word word word\n"},
		{"a word longer than the line is cut after a comma", func(p *Page) { p.Text(strings.Repeat("G1:+,", 12)) },
			"G1:+,G1:+,G1:+,G1:+,G1:+,G1:+,G1:+,G1:+,G1:+,\nG1:+,G1:+,G1:+,\n"},
		{"columns line up, an empty one is left out, a long cell wraps", table,
			"wire  ohm  terminals\n" +
				"W1    0.5  G1:+ F1:1\n" +
				"W20    12  A1:1 A1:2 A1:3 A1:4 A1:5 A1:6 A1:7\n" +
				"           A1:8 A1:9\n"},
		{"a number stays with its unit", func(p *Page) { p.Text("one two three four five six seven eight nine 62 % sure") },
			"one two three four five six seven eight nine\n62 % sure\n"},
		{"a table without rows is nothing", func(p *Page) { p.Table([]Column{{Title: "wire"}}, nil) }, ""},
		{"what would move the cursor is replaced", func(p *Page) { p.Text("lamp\x1b[2J\rgone \u202eevil") }, "lamp?[2J?gone ?evil\n"},
		{"a title keeps its letters", func(p *Page) { p.Text("Türschließer 電磁石") }, "Türschließer 電磁石\n"},
	} {
		t.Run(row.name, func(t *testing.T) {
			if got := render(48, false, row.write); got != row.want {
				t.Errorf("got:\n%s\nwant:\n%s", got, row.want)
			}
		})
	}
}

func TestPaint(t *testing.T) {
	write := func(p *Page) { p.Hanging(p.Paint(Red, "fault")+" ", "stop\x1b[1;31m\x1b[5m") }
	if got, want := render(0, true, write), "\x1b[1;31mfault\x1b[0m stop\x1b[1;31m?[5m\n"; got != want {
		t.Errorf("with colour: got %q, want %q", got, want)
	}
	if got, want := render(0, false, write), "fault stop?[1;31m?[5m\n"; got != want {
		t.Errorf("without colour: got %q, want %q", got, want)
	}
}

func TestNothingIsLostOrTooWide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := strings.Join(rapid.SliceOf(rapid.StringMatching(`[a-zäß0-9:+,;-]{1,70}`)).Draw(t, "words"), " ")
		width := rapid.IntRange(8, 100).Draw(t, "width")
		lines := wrap(text, width)
		for _, line := range lines {
			if Width(line) > width {
				t.Fatalf("%q is wider than %d", line, width)
			}
		}
		glue := func(text string) string { return strings.Join(strings.Fields(text), "") }
		if got := glue(strings.Join(lines, " ")); got != glue(text) {
			t.Fatalf("wrapped %q, got %q", glue(text), got)
		}
	})
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no room") }

func TestFlushTellsOfAFullDisk(t *testing.T) {
	p := New(full{}, 0, false)
	for range 10000 {
		p.Text("a line")
	}
	if err := p.Flush(); err == nil {
		t.Error("the writer failed, the page did not say so")
	}
}
