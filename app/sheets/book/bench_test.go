package book

import (
	"bytes"
	"fmt"
	"testing"
	"time"

	"bellout/app/drawing/pdf"
	"bellout/app/sheets"
	"bellout/assets"
	"bellout/model"
	"bellout/model/sample"
)

// BenchmarkBook makes and writes the whole book as a PDF, beside the plainest way
// to get the same wires onto paper: one line of text a wire, nothing worked out but
// the rows of the wire list.
func BenchmarkBook(b *testing.B) {
	for _, c := range []struct {
		name string
		m    *model.Machine
	}{{"demo", demo(b, assets.AsFound)}, {"wires=5000", wiresAtLeast(5000)}} {
		b.Run(c.name, func(b *testing.B) {
			var mine, plain time.Duration
			pages := 0
			for b.Loop() {
				start := time.Now()
				made, err := Make(b.Context(), Job{Title: "bench", Machine: c.m, Now: noon}, nil)
				if err != nil {
					b.Fatal(err)
				}
				doc := pdf.New(pdf.Info{Title: "bench", Created: noon})
				bound := Bind(made...)
				if err := Write(b.Context(), doc, bound, nil); err != nil {
					b.Fatal(err)
				}
				var out bytes.Buffer
				if err := doc.Write(&out); err != nil {
					b.Fatal(err)
				}
				pages = bound.Pages()
				middle := time.Now()
				lines := plainList(b, c.m)
				plain += time.Since(middle)
				mine += middle.Sub(start)
				if lines != len(c.m.Wires) {
					b.Fatalf("the plain list has %d lines for %d wires", lines, len(c.m.Wires))
				}
			}
			b.ReportMetric(float64(len(c.m.Wires)), "wires")
			b.ReportMetric(float64(pages), "pages")
			b.ReportMetric(float64(mine)/float64(plain), "x-plain-list")
		})
	}
}

// plainList prints one line a wire and returns how many.
func plainList(b *testing.B, m *model.Machine) int {
	doc := pdf.New(pdf.Info{Title: "plain", Created: noon})
	rows := sheets.WireRows(sheets.Job{Machine: m})
	var p *page
	for i, w := range rows {
		if i%60 == 0 {
			p = &page{}
		}
		p.text(10, 10+float64(i%60)*4, 3, 0, fmt.Sprint(w.Name, " ", w.From, " ", w.To, " ", w.Colour, " ", w.Gauge, " ", w.Status), 180)
		if i%60 == 59 || i == len(rows)-1 {
			pen := doc.Page(210, 297, "")
			for _, draw := range p.ops {
				draw(pen, nil)
			}
		}
	}
	var out bytes.Buffer
	if err := doc.Write(&out); err != nil {
		b.Fatal(err)
	}
	return len(rows)
}

func wiresAtLeast(wires int) *model.Machine {
	for terminals := 2 * wires; ; terminals += wires / 2 {
		if m := sample.Machine(1, terminals); len(m.Wires) >= wires {
			return m
		}
	}
}
