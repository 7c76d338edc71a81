package svg

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"image"
	"io"
	"math"
	"os"
	"strings"
	"testing"

	"bellout/app/drawing"
	"bellout/app/drawing/specimen"
)

func at(x, y float64) drawing.Point { return drawing.Point{X: x, Y: y} }

func box(x0, y0, x1, y1 float64) drawing.Box { return drawing.Box{Min: at(x0, y0), Max: at(x1, y1)} }

func written(t *testing.T, d *Document, number int) string {
	t.Helper()
	var out bytes.Buffer
	if err := d.WritePage(number, &out); err != nil {
		t.Fatal(err)
	}
	decoder := xml.NewDecoder(bytes.NewReader(out.Bytes()))
	for {
		if _, err := decoder.Token(); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatalf("page %d is no XML: %v", number, err)
		}
	}
	return out.String()
}

// A small page, to the letter: what is written is stable and small.
func TestAPageToTheLetter(t *testing.T) {
	d := New(nil)
	p := d.Page(40, 20, "A <b> & \"c\"")
	p.Line([]drawing.Point{at(1, 1), at(10, 1), at(10, 5.25), at(12, 7)}, drawing.Stroke{Colour: specimen.Black, Width: 0.3, Dash: []float64{1, 0.5}})
	p.Rectangle(box(20, 2, 30, 8), 1, drawing.Stroke{}, specimen.Black)
	p.Text(drawing.Text{At: at(20, 15), Text: "I.", Size: 4, Align: drawing.Centre, Colour: specimen.Black})
	got := written(t, d, 1)
	want, err := os.ReadFile("testdata/page.svg")
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("the page reads\n%s\nwant\n%s", got, want)
	}
}

func TestLinksLeadWhereTheyShould(t *testing.T) {
	draw := func(d *Document) {
		first := d.Page(210, 297, "Door card")
		first.Link(box(10, 20, 60, 30), "X20:1")
		first.Link(box(60, 50, 10, 40), "card")
		first.Link(box(0, 0, 1, 1), "nowhere")
		first.Anchor(at(10, 100), "card", "the card & more")
		d.Page(100, 50, "Star point").Anchor(at(5, 10), "X20:1", "")
	}
	together := New(func(page int) string { return fmt.Sprintf("sheet %02d.svg", page) })
	draw(together)
	page := written(t, together, 1)
	for _, want := range []string{
		`<a xlink:href="sheet%2002.svg#a2"><rect x="10" y="20" width="50" height="10"`,
		`<a xlink:href="#a1"><rect x="10" y="40" width="50" height="10"`,
		`<g id="a1">`, `<title>the card &amp; more</title>`,
	} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %s", want)
		}
	}
	if strings.Count(page, "<a ") != 2 {
		t.Errorf("the page has %d links, want 2", strings.Count(page, "<a "))
	}
	if !strings.Contains(written(t, together, 2), `<g id="a2">`) {
		t.Error("the second page lacks its anchor")
	}
	alone := New(nil)
	draw(alone)
	if page := written(t, alone, 1); strings.Count(page, "<a ") != 1 {
		t.Error("a page alone links to one that is not with it")
	}
}

func TestTheSameDrawingIsTheSameFile(t *testing.T) {
	var first string
	for range 3 {
		d := New(nil)
		specimen.Draw(d.Page(specimen.Width, specimen.Height, "Specimen"))
		page := written(t, d, 1)
		if first == "" {
			first = page
		} else if page != first {
			t.Fatal("the same drawing gives other bytes")
		}
	}
	if len(first) > 80_000 {
		t.Errorf("a page takes %d bytes", len(first))
	}
}

func TestMistakesComeOutOfWrite(t *testing.T) {
	d := New(nil)
	for _, number := range []int{0, 1, -1} {
		if err := d.WritePage(number, io.Discard); err == nil {
			t.Errorf("page %d of none is written", number)
		}
	}
	d.Page(10, 10, "")
	d.Page(10, 10, "")
	if err := d.Write(io.Discard); err == nil {
		t.Error("two pages go into one file")
	}
	full := errors.New("disk full")
	if err := d.WritePage(1, failing{full}); !errors.Is(err, full) {
		t.Errorf("a full disk is %v", err)
	}
	d.Page(math.Inf(1), 10, "chart")
	if err := d.WritePage(1, io.Discard); err == nil || !strings.Contains(err.Error(), `page 3, "chart"`) {
		t.Errorf("an endless page is %v", err)
	}
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }

func TestEscape(t *testing.T) {
	const text = "a<b>&\"c\x00\x1b\ufffe\uffff\tΩ😀"
	const want = "a&lt;b&gt;&amp;&quot;c\ufffd\ufffd\ufffd\ufffd\tΩ😀"
	if got := string(escape(nil, text)); got != want {
		t.Errorf("%q becomes %q, want %q", text, got, want)
	}
}

// What is no number, or has no ink, leaves no trace.
func TestNothingOddGetsIn(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(-1)
	stroke := drawing.Stroke{Colour: specimen.Black, Width: 1}
	empty, odd := New(nil), New(nil)
	empty.Page(100, 100, "")
	p := odd.Page(100, 100, "")
	p.Line([]drawing.Point{at(1, 1), at(nan, 2)}, stroke)
	p.Line(nil, stroke)
	p.Line([]drawing.Point{at(1, 1), at(2, 2)}, drawing.Stroke{Width: 1})
	p.Polygon([]drawing.Point{at(inf, 1), at(2, 2), at(3, 3)}, stroke, specimen.Black)
	p.Polygon([]drawing.Point{at(1, 1), at(2, 2), at(3, 3)}, drawing.Stroke{Colour: specimen.Black, Width: nan}, drawing.Stroke{}.Colour)
	p.Rectangle(box(1, nan, 5, 5), 0, stroke, specimen.Black)
	p.Circle(at(1, 1), nan, stroke, specimen.Black)
	p.Text(drawing.Text{At: at(1, inf), Text: "a", Size: 3, Colour: specimen.Black})
	p.Text(drawing.Text{At: at(1, 1), Text: "a", Size: nan, Colour: specimen.Black})
	p.Text(drawing.Text{At: at(1, 1), Text: "", Size: 3, Colour: specimen.Black})
	p.Picture(image.NewGray(image.Rect(0, 0, 2, 2)), box(nan, 0, 1, 1))
	p.Picture(nil, box(0, 0, 1, 1))
	p.Link(box(nan, 0, 1, 1), "x")
	p.Anchor(at(nan, 0), "x", "x")
	if a, b := written(t, empty, 1), written(t, odd, 1); a != b {
		t.Errorf("an empty page is\n%s\nwith odd things on it\n%s", a, b)
	}
}

func BenchmarkWires(b *testing.B) {
	for b.Loop() {
		d := New(nil)
		page := d.Page(400, 300, "")
		for i := range 10_000 {
			x, y := float64(i%200), float64(i/200)
			page.Line([]drawing.Point{at(x, y), at(x+50, y), at(x+50, y+30), at(x+90, y+30)}, drawing.Stroke{Colour: specimen.Black, Width: 0.3})
			page.Text(drawing.Text{At: at(x, y), Text: "W1234", Size: 2, Colour: specimen.Black})
		}
		var out bytes.Buffer
		if err := d.Write(&out); err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(out.Len())/1000, "kB")
	}
}
