package book

import (
	"bytes"
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"bellout/app/drawing/pdf"
	"bellout/app/drawing/svg"
	"bellout/assets"
)

// written writes a job's sheets as a PDF and returns its text, as pdftotext reads it.
func written(t testing.TB, job Job, names ...string) string {
	t.Helper()
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext is not installed")
	}
	sheets, err := Make(t.Context(), job, nil, names...)
	if err != nil {
		t.Fatal(err)
	}
	doc := pdf.New(pdf.Info{Title: job.Title, Created: noon})
	if err := Write(t.Context(), doc, Bind(sheets...), nil); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := doc.Write(&out); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "book.pdf")
	if err := os.WriteFile(path, out.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	text, err := exec.Command("pdftotext", "-layout", path, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func TestTextsComeBackOutOfThePDF(t *testing.T) {
	text := written(t, Job{Title: "Lantern Lock", Machine: demo(t, assets.AsFound), State: "as found", Now: noon, Journal: journal(5)})
	for _, want := range []string{
		"Lantern Lock", "as found", "2026-05-10", "96 of 229 wires proven", "never says that anything is safe", // the title block
		"ISOLATE HERE", "4700 µF", "3.05 J", "wire W34, X20:6 to X2:PE6", // the door card
		"X1", "main switch, two poles", "Stop above", "a tenth either way (common practice)",
		"24.3 Ω", "JOINED", "GNYE", "half A, mating face (mirrored)", "→ F1:1", "40 °C",
		"struck: tip had slipped to pin 2", "FAIL", "B5", "2026-04-02",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the text of the book lacks %q", want)
		}
	}
	for _, device := range demo(t, assets.AsFound).Devices {
		if !strings.Contains(text, device.Ref) {
			t.Errorf("the book lacks device %s", device.Ref)
		}
	}
	for _, wire := range demo(t, assets.AsFound).Wires {
		if count := strings.Count(text, wire.Name+" "); count < 2 {
			t.Errorf("wire %s stands %d times in the book; a stranger looks for it on the chart and in the wire list", wire.Name, count)
		}
	}
}

// Nothing that is printed calls anything safe, and nothing asks for a live probe on
// the mains.
func TestNothingIsCalledSafe(t *testing.T) {
	for _, state := range assets.DemoStates {
		text := strings.ToLower(written(t, Job{Title: "Lantern Lock", Machine: demo(t, state), Now: noon}))
		rest := strings.ReplaceAll(text, "never says that anything is safe to touch", "")
		for _, bad := range []string{"is safe", "are safe", "safe to", "all clear", "no fault in"} {
			if at := strings.Index(rest, bad); at >= 0 {
				t.Errorf("%s: the book says %q", state, rest[max(0, at-40):min(len(rest), at+40)])
			}
		}
	}
	load := written(t, Job{Title: "Lantern Lock", Machine: demo(t, assets.AsRepaired), Now: noon}, "loadtest")
	for _, mains := range []string{"X1:L", "X1:N", "X2:L", "X2:N", "G1:L", "G2:N"} {
		if strings.Contains(load, mains) {
			t.Errorf("the load test names %s", mains)
		}
	}
}

func TestEverySheetAlone(t *testing.T) {
	m := demo(t, assets.AsFound)
	for _, k := range Kinds() {
		sheets, err := Make(t.Context(), Job{Title: "Lantern Lock", Machine: m, Now: noon}, nil, k.Name)
		if err != nil {
			t.Fatal(err)
		}
		b := Bind(sheets...)
		doc := svg.New(b.PageName)
		if err := Write(t.Context(), doc, b, nil); err != nil {
			t.Fatal(err)
		}
		for page := 1; page <= b.Pages(); page++ {
			var out bytes.Buffer
			if err := doc.WritePage(page, &out); err != nil {
				t.Errorf("%s: %v", k.Name, err)
			}
			if !strings.Contains(out.String(), "Lantern Lock") {
				t.Errorf("%s page %d has no title block", k.Name, page)
			}
		}
	}
	if _, err := Make(t.Context(), Job{Machine: m}, nil, "poster"); err == nil || !strings.Contains(err.Error(), "doorcard") {
		t.Errorf("a sheet that there is not: %v; the error is to list those there are", err)
	}
}

func TestMakingEndsWhenItIsStopped(t *testing.T) {
	m := demo(t, assets.AsFound)
	parts := 0
	for stopAt := 1; ; stopAt++ {
		ctx, stop := context.WithCancel(t.Context())
		parts = 0
		sheets, err := Make(ctx, Job{Title: "x", Machine: m, Now: noon}, func(string, int, int) {
			if parts++; parts == stopAt {
				stop()
			}
		})
		if err == nil && parts < stopAt {
			stop()
			break
		}
		if err == nil && parts == stopAt { // stopped with the last word: it was done
			stop()
			continue
		}
		if !errors.Is(err, context.Canceled) || sheets != nil {
			t.Fatalf("stopped at step %d: %v", stopAt, err)
		}
		stop()
		stopAt += 3
	}
}
