package pdf

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"math"
	"regexp"
	"strings"
	"testing"
	"time"

	"bellout/app/drawing"
	"bellout/app/drawing/specimen"
)

var made = time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)

func at(x, y float64) drawing.Point { return drawing.Point{X: x, Y: y} }

func box(x0, y0, x1, y1 float64) drawing.Box { return drawing.Box{Min: at(x0, y0), Max: at(x1, y1)} }

// written returns a document's bytes, its pages' contents not packed so that a
// test can read them.
func written(t *testing.T, draw func(*Document)) string {
	t.Helper()
	document := New(Info{Title: "Lantern Lock", Created: made})
	document.file.SetCompression(false)
	draw(document)
	var out bytes.Buffer
	if err := document.Write(&out); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func TestTheSameDrawingIsTheSameFile(t *testing.T) {
	var first []byte
	for range 4 {
		document := New(Info{Title: "Lantern Lock", Subject: "as found", Author: "N. N.", Created: made})
		for range 2 {
			specimen.Draw(document.Page(specimen.Width, specimen.Height, "Specimen"))
		}
		for range 2 { // written twice it is the same too
			var out bytes.Buffer
			if err := document.Write(&out); err != nil {
				t.Fatal(err)
			}
			if first == nil {
				first = out.Bytes()
			} else if !bytes.Equal(first, out.Bytes()) {
				t.Fatal("the same drawing gives other bytes")
			}
		}
	}
	if len(first) > 200_000 {
		t.Errorf("a page takes %d bytes: are the typefaces cut down to what is used?", len(first))
	}
	if count := bytes.Count(first, []byte("/Subtype /Image")); count != 1 {
		t.Errorf("a picture drawn twice stands in the file %d times", count)
	}
}

// destination of the n-th link or bookmark: page object and height above the
// page's lower edge in points.
var destination = regexp.MustCompile(`/Dest \[(\d+) 0 R /XYZ 0 ([-\d.]+) null\]`)

// Pages of different sizes are where the writer below reckons wrongly by itself.
func TestLinksLeadWhereTheyShould(t *testing.T) {
	content := written(t, func(d *Document) {
		first := d.Page(210, 297, "Door card")
		first.Link(box(10, 20, 60, 30), "X20")
		first.Link(box(10, 40, 60, 50), "not in this document")
		first.Anchor(at(10, 100), "card", "")
		second := d.Page(100, 50, "Star point")
		second.Anchor(at(5, 10), "X20", "X20 (0 V)")
		second.Anchor(at(5, 40), "X20", "a second one of the name does not count")
		second.Link(box(1, 1, 9, 9), "card")
	})
	links := regexp.MustCompile(`/Subtype /Link /Rect \[([-\d. ]+)\] /Border \[0 0 0\] (/Dest[^>]*)`).FindAllStringSubmatch(content, -1)
	want := [][2]string{
		// 297 mm is 841.89 points, 50 mm 141.73; pages are objects 3 and 5.
		{"28.35 785.20 170.08 756.85", "/Dest [5 0 R /XYZ 0 113.39 null]"},
		{"2.83 138.90 25.51 116.22", "/Dest [3 0 R /XYZ 0 558.43 null]"},
	}
	if len(links) != len(want) {
		t.Fatalf("%d links, want %d", len(links), len(want))
	}
	for i, link := range links {
		if link[1] != want[i][0] || link[2] != want[i][1] {
			t.Errorf("link %d covers %s and leads to %s, want %s and %s", i, link[1], link[2], want[i][0], want[i][1])
		}
	}
}

func TestContentsListPagesAndAnchors(t *testing.T) {
	content := written(t, func(d *Document) {
		card := d.Page(210, 297, "Door card")
		card.Anchor(at(0, 50), "b", "Supplies (Ω)")
		card.Anchor(at(0, 20), "a", "Isolate \u202ehere 😀")
		card.Anchor(at(0, 20), "c", "")
		card.Anchor(at(0, 0), "card", "Door card") // the page's own entry says it
		d.Page(100, 50, "")
		d.Page(100, 50, "Wire list")
	})
	titles := regexp.MustCompile(`(?s)<</Title \((.*?)\)\n/Parent`).FindAllStringSubmatch(content, -1)
	var got []string
	for _, title := range titles {
		got = append(got, fromUTF16(title[1]))
	}
	want := []string{"Door card", "Supplies (Ω)", "Isolate [202E]here [01F600]", "Wire list"}
	if strings.Join(got, "|") != strings.Join(want, "|") {
		t.Errorf("the contents list %q, want %q", got, want)
	}
	outlines := content[strings.LastIndex(content, "<</Title"):]
	if places := destination.FindAllStringSubmatch(content, -1); len(places) != 4 || places[1][2] != "700.16" || places[3][1] != "7" || places[3][2] != "141.73" {
		t.Errorf("entries lead to %q in %q", places, outlines)
	}
}

// fromUTF16 reads a string as PDF writes it, escaped.
func fromUTF16(text string) string {
	text = strings.NewReplacer(`\\`, `\`, `\(`, `(`, `\)`, `)`, `\r`, "\r").Replace(text)
	var out strings.Builder
	for i := 2; i+1 < len(text); i += 2 {
		out.WriteRune(rune(text[i])<<8 | rune(text[i+1]))
	}
	return out.String()
}

func TestMistakesComeOutOfWrite(t *testing.T) {
	for what, draw := range map[string]func(*Document){
		"it has no page": func(*Document) {},
		"page 1, \"door\": 0 by 100 mm; a page is 2 to 5080 mm long": func(d *Document) {
			d.Page(0, 100, "door").Line([]drawing.Point{at(1, 1), at(2, 2)}, drawing.Stroke{Width: 1, Colour: specimen.Black})
		},
		"page 2, \"\": NaN by 1e+06 mm; a page is 2 to 5080 mm long": func(d *Document) {
			d.Page(100, 100, "")
			d.Page(math.NaN(), 1e6, "")
		},
	} {
		document := New(Info{Created: made})
		draw(document)
		var out bytes.Buffer
		err := document.Write(&out)
		if err == nil || !strings.HasSuffix(err.Error(), what) || out.Len() > 0 {
			t.Errorf("Write says %v with %d bytes, want %q", err, out.Len(), what)
		}
	}
	full := errors.New("disk full")
	document := New(Info{Created: made})
	document.Page(100, 100, "")
	if err := document.Write(failing{full}); !errors.Is(err, full) {
		t.Errorf("a full disk is %v", err)
	}
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }

// What is no number, or has no ink, leaves no trace and breaks nothing.
func TestNothingOddGetsIn(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	stroke := drawing.Stroke{Colour: specimen.Black, Width: 1}
	empty := written(t, func(d *Document) { d.Page(100, 100, "") })
	odd := written(t, func(d *Document) {
		p := d.Page(100, 100, "")
		p.Line([]drawing.Point{at(1, 1), at(nan, 2)}, stroke)
		p.Line([]drawing.Point{at(1, 1)}, stroke)
		p.Line([]drawing.Point{at(1, 1), at(2, 2)}, drawing.Stroke{Colour: specimen.Black, Width: nan})
		p.Line([]drawing.Point{at(1, 1), at(2, 2)}, drawing.Stroke{Colour: color.NRGBA{R: 9}, Width: 1})
		p.Polygon([]drawing.Point{at(inf, 1), at(2, 2), at(3, 3)}, stroke, specimen.Black)
		p.Rectangle(box(1, nan, 5, 5), 0, stroke, specimen.Black)
		p.Circle(at(1, 1), nan, stroke, specimen.Black)
		p.Circle(at(1, 1), -1, stroke, specimen.Black)
		p.Text(drawing.Text{At: at(1, inf), Text: "a", Size: 3, Colour: specimen.Black})
		p.Text(drawing.Text{At: at(1, 1), Text: "a", Size: nan, Colour: specimen.Black})
		p.Picture(image.NewGray(image.Rect(0, 0, 2, 2)), box(nan, 0, 1, 1))
		p.Picture(nil, box(0, 0, 1, 1))
		p.Link(box(nan, 0, 1, 1), "x")
		p.Anchor(at(nan, 0), "x", "x")
	})
	if odd != empty {
		t.Errorf("an empty page is %d bytes, with odd things on it %d:\n%s", len(empty), len(odd), odd)
	}
	dashed := written(t, func(d *Document) {
		p := d.Page(100, 100, "")
		for _, dash := range [][]float64{{0, 0}, {1, -1}, {nan, 1}, {inf, 1}, {3}} {
			p.Line([]drawing.Point{at(1, 1), at(2, 2)}, drawing.Stroke{Colour: specimen.Black, Width: 1, Dash: dash})
		}
	})
	if strings.Contains(dashed, "NaN") || strings.Contains(dashed, "+Inf") || regexp.MustCompile(`\[[^][]+\] [\d.]+ d\n`).MatchString(dashed) {
		t.Error("a dash pattern that is none gets into the page")
	}
}

func BenchmarkWires(b *testing.B) {
	for b.Loop() {
		document := New(Info{Created: made})
		page := document.Page(400, 300, "")
		for i := range 10_000 {
			x, y := float64(i%200), float64(i/200)
			page.Line([]drawing.Point{at(x, y), at(x+50, y), at(x+50, y+30), at(x+90, y+30)}, drawing.Stroke{Colour: color.NRGBA{R: uint8(i), A: 255}, Width: 0.3})
			page.Text(drawing.Text{At: at(x, y), Text: "W1234", Size: 2, Colour: specimen.Black})
		}
		var out bytes.Buffer
		if err := document.Write(&out); err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(out.Len())/1000, "kB")
	}
}
