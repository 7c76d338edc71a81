package sheets

import (
	"image"
	"image/color"
	"strings"
	"testing"

	"bellout/app/drawing"
	"bellout/assets"
	"bellout/model"
	"bellout/model/sample"
)

func TestLabels(t *testing.T) {
	list := Labels(crossed(t))
	count := map[string]int{}
	for _, l := range list {
		count[l.For]++
	}
	// Two wires stand, each has two ends; the removed one has no label.
	if count["wire"] != 4 || count["device"] != 2 {
		t.Errorf("%v labels, want 4 of wires and 2 of devices", count)
	}
	if want := (Label{"wire", "W2", "G1:-", "→ G2:-"}); list[0] != want {
		t.Errorf("the first label is %v, want %v", list[0], want)
	}
	if want := (Label{"wire", "W2", "G2:-", "→ G1:-"}); list[1] != want {
		t.Errorf("the label of the other end is %v, want %v", list[1], want)
	}
}

// labelPen notes texts that leave their label.
type labelPen struct {
	t     *testing.T
	label drawing.Box
	texts int
}

func (p *labelPen) Rectangle(b drawing.Box, _ float64, _ drawing.Stroke, _ color.NRGBA) { p.label = b }
func (p *labelPen) Text(text drawing.Text) {
	start, length := text.Extent()
	x0, y0, y1 := text.At.X+start, text.At.Y-text.Size*drawing.CapHeight(), text.At.Y+text.Size*0.1
	if x0 < p.label.Min.X-0.01 || x0+length > p.label.Max.X+0.01 || y0 < p.label.Min.Y || y1 > p.label.Max.Y {
		p.t.Errorf("%.40q leaves its label %v", text.Text, p.label)
	}
	p.texts++
}
func (*labelPen) Line([]drawing.Point, drawing.Stroke)                       {}
func (*labelPen) Polygon([]drawing.Point, drawing.Stroke, color.NRGBA)       {}
func (*labelPen) Circle(drawing.Point, float64, drawing.Stroke, color.NRGBA) {}
func (*labelPen) Picture(image.Image, drawing.Box)                           {}
func (*labelPen) Link(drawing.Box, string)                                   {}
func (*labelPen) Anchor(drawing.Point, string, string)                       {}
func (p *labelPen) Page(float64, float64, string) drawing.Pen                { return p }

func TestWordsStayOnTheirLabels(t *testing.T) {
	m := sample.Machine(1, 700).Clone()
	for i := range m.Devices {
		m.Devices[i].Title = strings.Repeat("W", i%200) + `עב, "=1+1 😀`
	}
	list := append(Labels(m), Label{"wire", strings.Repeat("W", 500), strings.Repeat("Q", 500) + ":1", "=1+1"})
	for _, sheet := range LabelSheets() {
		pen := &labelPen{t: t}
		DrawLabels(pen, sheet, list)
		if pen.texts < 2*len(list) {
			t.Errorf("%s: %d texts for %d labels", sheet.Name, pen.texts, len(list))
		}
	}
	DrawLabels(&labelPen{t: t}, LabelSheets()[0], Labels(model.NewMachine()))
}

// A text that has no room stays legible: it takes the lines there are, and says in
// which row of the list it stands whole.
func TestALongLabelIsCutAndPointsAtItsRow(t *testing.T) {
	long := strings.Repeat("left lower gate lamp ", 24)
	for _, sheet := range LabelSheets() {
		lines, size := layLabel(long, drawing.Regular, sheet.Width/2-2, sheet.Printed*0.27, "row 12")
		if size < min(legible, sheet.Printed*0.27/1.15)-1e-9 {
			t.Errorf("%s: %.2f mm is too small to read", sheet.Name, size)
		}
		if last := lines[len(lines)-1]; !strings.HasSuffix(last, "… row 12") && !strings.HasSuffix(last, "…") {
			t.Errorf("%s: %q does not say that it goes on", sheet.Name, last)
		}
	}
	lines, _ := layLabel("lamp of the lower left gate, seen from the basin side", drawing.Regular, 60, 6.5, "row 12")
	if joined := strings.Join(lines, " "); joined != "lamp of the lower left gate, seen from the basin side" {
		t.Errorf("a text of two lines was cut: %q", lines)
	}
	if lines, _ = layLabel("→ "+strings.Repeat("G", 99), drawing.Regular, 23, 3, "row 12"); !strings.HasPrefix(lines[0], "→ GG") {
		t.Errorf("the far end is lost: %q", lines)
	}
	lines, _ = layLabel(long, drawing.Regular, 60, 6.5, "row 12")
	if len(lines) < 2 || !strings.HasSuffix(lines[len(lines)-1], "… row 12") {
		t.Errorf("%q", lines)
	}
}

func TestLabelSheetsThatCannotBe(t *testing.T) {
	good := strings.Split(strings.TrimSpace(assets.Labels), "\n")
	for _, c := range []struct{ what, row, want string }{
		{"off the paper", `x,a4,25,36,9,7,16,20,26,37,12,`, "off the paper"},
		{"over each other", `x,a4,25,36,7,7,16,20,20,37,12,`, "over each other"},
		{"a length that is none", `x,a4,wide,36,7,7,16,20,26,37,12,`, `"wide" in column width_mm`},
		{"a count that is none", `x,a4,25,36,0,7,16,20,26,37,12,`, "is no count"},
	} {
		if _, err := ReadLabelSheets(good[0] + "\n" + c.row); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.what, err, c.want)
		}
	}
	if _, err := FindLabelSheet("none"); err == nil || !strings.Contains(err.Error(), "wrap") {
		t.Errorf("a sheet that there is not: %v", err)
	}
}
