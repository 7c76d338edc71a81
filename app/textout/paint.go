package textout

import "strings"

// Paint is a way to make words stand out on a terminal.
type Paint string

// The paints. They use the terminal's own colours, so that they suit a dark and
// a light one.
const (
	Strong Paint = "1"
	Red    Paint = "1;31"
	Yellow Paint = "33"
	Green  Paint = "32"
)

// Paint returns the text in a paint where the page shows colour, else as it is.
func (p *Page) Paint(paint Paint, text string) string {
	if !p.colour || text == "" {
		return text
	}
	return paint.code() + text + unpainted.code()
}

// unpainted ends a paint.
const unpainted Paint = "0"

func (paint Paint) code() string { return "\x1b[" + string(paint) + "m" }

// paintAt returns the length of the paint that a text starts with; 0 for none.
func paintAt(text string) int {
	for _, paint := range []Paint{Strong, Red, Yellow, Green, unpainted} {
		if strings.HasPrefix(text, paint.code()) {
			return len(paint.code())
		}
	}
	return 0
}
