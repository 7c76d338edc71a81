// Package textout lays out text for people: words wrapped at a width, columns that
// line up, colour where a terminal shows it. A word always says what a colour
// says.
package textout

import (
	"bufio"
	"io"
	"strings"
)

// DefaultWidth is the width of a page, in characters, that goes anywhere but to
// a terminal of a known size.
const DefaultWidth = 80

// The widths between which a page follows its terminal.
const (
	NarrowestWidth = 48
	WidestWidth    = 100
)

// Page is one output laid out for people. The first error of its writer stops
// it, and Flush returns that error.
type Page struct {
	out    *bufio.Writer
	width  int
	colour bool
	err    error
}

// New returns an empty page that writes to out. Width is in characters and is
// brought within NarrowestWidth and WidestWidth; 0 means DefaultWidth.
func New(out io.Writer, width int, colour bool) *Page {
	if width == 0 {
		width = DefaultWidth
	}
	return &Page{out: bufio.NewWriter(out), width: min(max(width, NarrowestWidth), WidestWidth), colour: colour}
}

// Flush writes what is left and returns the first error of the writer.
func (p *Page) Flush() error {
	if p.err == nil {
		p.err = p.out.Flush()
	}
	return p.err
}

// Gap writes an empty line.
func (p *Page) Gap() { p.write("\n") }

// Text writes a paragraph, wrapped at words.
func (p *Page) Text(text string) { p.Hanging("", text) }

// Hanging writes the label, then the text beside it: every further line starts
// below the first character of the text. The label may be painted.
func (p *Page) Hanging(label, text string) {
	label, text = p.clean(label), p.clean(text)
	indent := Width(label)
	for i, line := range wrap(text, p.width-indent) {
		if i > 0 {
			label = strings.Repeat(" ", indent)
		}
		p.write(strings.TrimRight(label+line, " ") + "\n")
	}
}

func (p *Page) write(text string) {
	if p.err == nil {
		_, p.err = p.out.WriteString(text)
	}
}
