package specimen

import (
	"encoding/xml"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"bellout/app/drawing"

	"pgregory.net/rapid"
)

// readable is what a reader of a page gets back of a text: legible, with single
// blanks. Blanks of all widths are one to it.
func readable(text string) string { return strings.Join(strings.Fields(drawing.Legible(text)), " ") }

// letters sorts what is no blank: of a script that is written to the left a reader
// turns the order.
func letters(text string) string {
	runes := []rune(strings.Join(strings.Fields(text), ""))
	runes = slices.DeleteFunc(runes, func(r rune) bool { return unicode.Is(unicode.Cf, r) })
	slices.Sort(runes)
	return string(runes)
}

func leftward(text string) bool {
	return strings.ContainsFunc(text, func(r rune) bool { return unicode.In(r, unicode.Hebrew, unicode.Arabic) })
}

func TestTextComesBackOutOfThePDF(t *testing.T) {
	plain := []string{
		"4.7 kΩ ±5 %", "0.1 µF, 3 μH", "3 → 5 °C", "W228 RD 0O1Il8B", "X20:1 – G5:−", "Łódź, Größe, café", "1.5 mm² ≤ 2.5 mm²",
		"[202E] is what a switch looks like", "(a) \\ (b",
	}
	for _, upward := range []bool{false, true} {
		texts := append(slices.Clone(plain), Hostile...)
		file := write(t, "drawing.pdf", bytesOfPDF(t, func(d drawing.Document) {
			for i, text := range texts {
				page := d.Page(3000, 3000, "")
				page.Text(drawing.Text{At: drawing.Point{X: 20, Y: 2900}, Text: text, Size: 5, Face: drawing.Face(i % drawing.Faces), Upward: upward, Colour: Black})
			}
		}))
		pages := strings.Split(string(run(t, "pdftotext", "-enc", "UTF-8", file, "-")), "\f")
		for i, text := range texts {
			got, want := strings.Join(strings.Fields(pages[i]), " "), readable(text)
			if leftward(text) {
				got, want = letters(got), letters(want)
			}
			if got != want && !(strings.Trim(text, "\u0301") == "") { // an accent alone is no text to a reader
				t.Errorf("%q, upward %v, comes back as %q, want %q", text, upward, got, want)
			}
		}
	}
}

// A reader of the PDF finds words where Measure put them.
func TestWordsLieWhereMeasureSays(t *testing.T) {
	texts := []string{"Wiring", "WWWWWWWWWW", "iiiiiiiiii", "X20:1", "0123456789012345678901234567890123456789", "kΩ→µF±", "漢字"}
	const size = 10.0
	file := write(t, "drawing.pdf", bytesOfPDF(t, func(d drawing.Document) {
		for face := drawing.Regular; face <= drawing.MonoBold; face++ {
			for _, text := range texts {
				d.Page(1000, 100, "").Text(drawing.Text{At: drawing.Point{X: 500, Y: 50}, Text: text, Size: size, Face: face, Align: drawing.Centre, Colour: Black})
			}
		}
	}))
	words := regexp.MustCompile(`<word xMin="([0-9.]+)" yMin="[0-9.]+" xMax="([0-9.]+)"`)
	pages := strings.Split(string(run(t, "pdftotext", "-bbox", file, "-")), "<page ")[1:]
	i := 0
	for face := drawing.Regular; face <= drawing.MonoBold; face++ {
		for _, text := range texts {
			found := words.FindAllStringSubmatch(pages[i], -1)
			i++
			if len(found) == 0 {
				t.Errorf("%q is not found in face %d", text, face)
				continue
			}
			left, right := millimetres(t, found[0][1]), millimetres(t, found[len(found)-1][2])
			width := drawing.Measure(text, size, face)
			if math.Abs(left-(500-width/2)) > 0.1 || math.Abs(right-(500+width/2)) > 0.1 {
				t.Errorf("%q in face %d lies from %.2f to %.2f, want %.2f to %.2f", text, face, left, right, 500-width/2, 500+width/2)
			}
		}
	}
}

// A sign that comes from another typeface stands in the middle of its column.
func TestBorrowedSignsStandInTheirColumn(t *testing.T) {
	file := write(t, "drawing.pdf", bytesOfPDF(t, func(d drawing.Document) {
		d.Page(1000, 100, "").Text(drawing.Text{At: drawing.Point{X: 500, Y: 50}, Text: "→", Size: 10, Face: drawing.Mono, Align: drawing.Centre, Colour: Black})
	}))
	found := regexp.MustCompile(`<word xMin="([0-9.]+)" yMin="[0-9.]+" xMax="([0-9.]+)"`).FindStringSubmatch(string(run(t, "pdftotext", "-bbox", file, "-")))
	if found == nil {
		t.Fatal("the arrow is not found")
	}
	if middle := (millimetres(t, found[1]) + millimetres(t, found[2])) / 2; math.Abs(middle-500) > 0.05 {
		t.Errorf("the arrow's middle is at %.2f mm, want 500", middle)
	}
}

func millimetres(t *testing.T, points string) float64 {
	v, err := strconv.ParseFloat(points, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v * 25.4 / 72
}

// textOf reads an SVG page as XML and returns the text in it.
func textOf(page string) (string, error) {
	decoder := xml.NewDecoder(strings.NewReader(page))
	decoder.Strict = true
	var text strings.Builder
	inside := false
	for {
		token, err := decoder.Token()
		if err == io.EOF {
			return text.String(), nil
		}
		if err != nil {
			return "", err
		}
		switch token := token.(type) {
		case xml.StartElement:
			inside = token.Name.Local == "text"
		case xml.EndElement:
			inside = false
		case xml.CharData:
			if inside {
				text.Write(token)
			}
		}
	}
}

// Whatever a text holds, the page stays XML, holds the text to be selected, and
// comes back whole.
func TestTextComesBackOutOfTheSVG(t *testing.T) {
	check := func(t interface{ Fatalf(string, ...any) }, page, text string) {
		got, err := textOf(page)
		if err != nil {
			t.Fatalf("%q makes a page that is no XML: %v", text, err)
		}
		if want := drawing.Legible(text); got != want {
			t.Fatalf("%q comes back as %q, want %q", text, got, want)
		}
	}
	for _, text := range Hostile {
		check(t, svgOf(t, text), text)
	}
	rapid.Check(t, func(r *rapid.T) {
		text := rapid.String().Draw(r, "text")
		check(r, svgOf(t, text), text)
	})
}

func svgOf(t testing.TB, text string) string {
	content := bytesOfSVG(t, func(d drawing.Document) {
		page := d.Page(Width, Height, text)
		page.Text(drawing.Text{At: drawing.Point{X: 5, Y: 50}, Text: text, Size: 5, Colour: Black})
		page.Anchor(drawing.Point{X: 5, Y: 50}, text, text)
		page.Link(drawing.Box{Min: drawing.Point{X: 1, Y: 1}, Max: drawing.Point{X: 9, Y: 9}}, text)
	})
	if !utf8.Valid(content) {
		t.Fatalf("%q makes a page that is no UTF-8", text)
	}
	return string(content)
}

// FuzzText writes any text in all three places.
func FuzzText(f *testing.F) {
	for i, text := range Hostile {
		f.Add(text, 4.0, i, i%3, i%2 == 0)
	}
	f.Fuzz(func(t *testing.T, text string, size float64, face, align int, upward bool) {
		draw := func(pen drawing.Pen) {
			pen.Text(drawing.Text{At: drawing.Point{X: 50, Y: 50}, Text: text, Size: size, Face: drawing.Face(face), Align: drawing.Align(align), Upward: upward, Colour: Black})
		}
		onScreen(draw)
		bytesOfPDF(t, func(d drawing.Document) { draw(d.Page(Width, Height, text)) })
		page := svgOf(t, text)
		if _, err := textOf(page); err != nil {
			t.Fatalf("no XML: %v", err)
		}
		if fitted := drawing.Fit(text, 4, drawing.Regular, 20); drawing.Measure(fitted, 4, drawing.Regular) > 20.001 {
			t.Fatalf("%q does not fit", fitted)
		}
	})
}
