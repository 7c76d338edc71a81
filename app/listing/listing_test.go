package listing_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bellout/app/listing"
	"bellout/assets"
	"bellout/assets/lantern"
	"bellout/model"
	"bellout/model/sample"
)

// demo is Lantern Lock as it was found.
func demo(t testing.TB) *model.Machine { t.Helper(); return lantern.Machine(t, assets.AsFound) }

func ids(l *listing.Listing, places []int) []string {
	list := make([]string, len(places))
	for i, at := range places {
		list[i] = l.Row(at).ID()
	}
	return list
}

func TestRowsAreSortedAsPeopleReadThem(t *testing.T) {
	m := demo(t)
	l := listing.Of(m, model.TableDevice)
	got := ids(l, l.Arrange(listing.Order{Filter: "kind=fuse"}))
	if len(got) != 20 || got[0] != "F1" || got[1] != "F2" || got[9] != "F10" {
		t.Errorf("fuses are %v; want 20 of them, F2 before F10", got)
	}
	down := ids(l, l.Arrange(listing.Order{Filter: "kind=fuse", Down: true}))
	slices.Reverse(down)
	if !slices.Equal(got, down) {
		t.Errorf("the other way round is not the same backwards: %v", down)
	}
	volts := listing.Of(m, model.TableTerminal)
	rails := ids(volts, volts.Arrange(listing.Order{Column: 3, Filter: "role=rail"}))
	if first, last := rails[0], rails[len(rails)-1]; !strings.HasPrefix(first, "G4") || !strings.HasPrefix(last, "G3") {
		t.Errorf("rails by volts are %v; want 5 V of G4 first and 36 V of G3 last", rails)
	}
}

func TestAFilterKeepsWhatHoldsEveryWord(t *testing.T) {
	l := listing.Of(demo(t), model.TableDevice)
	rapid.Check(t, func(t *rapid.T) {
		filter := strings.Join(rapid.SliceOfN(rapid.SampledFrom([]string{"gate", "FUSE", "e1", "zone=bridge", "note=", "health=failed", "x"}), 0, 3).Draw(t, "words"), " ")
		kept := map[int]bool{}
		for _, at := range l.Arrange(listing.Order{Filter: filter}) {
			kept[at] = true
		}
		for at := range l.Len() {
			want := true
			for _, word := range strings.Fields(strings.ToLower(filter)) {
				column, text, limited := strings.Cut(word, "=")
				holds := false
				for i, cell := range l.Cells(at) {
					cell = strings.ToLower(cell)
					switch {
					case limited && l.Header[i] != column:
					case limited && text == "":
						holds = holds || cell == ""
					case limited:
						holds = holds || strings.Contains(cell, text)
					default:
						holds = holds || strings.Contains(cell, word)
					}
				}
				want = want && holds
			}
			if kept[at] != want {
				t.Fatalf("%q keeps row %v: %v, want %v", filter, l.Cells(at), kept[at], want)
			}
		}
	})
}

func TestOneTextIntoSeveralRows(t *testing.T) {
	m := demo(t)
	l := listing.Of(m, model.TableWire)
	var rows []model.Row
	for _, at := range l.Arrange(listing.Order{Filter: "colour=rd"})[:5] {
		rows = append(rows, l.Row(at))
	}
	edit, err := listing.SetCells(rows, "gauge", "1.5 mm2")
	if err != nil {
		t.Fatal(err)
	}
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	for _, row := range rows {
		if wire, _ := m.Wire(row.ID()); wire.Gauge.String() != "1.5 mm2" {
			t.Errorf("%s has the gauge %s", wire.Name, wire.Gauge)
		}
	}
	for column, text := range map[string]string{"gauge": "thick", "colour": "ZZ", "from": "nowhere", "length_m": "-1", "sort": "x"} {
		if _, err := listing.SetCells(rows, column, text); err == nil {
			t.Errorf("%s takes %q", column, text)
		}
	}
	reading := listing.Of(m, model.TableReading)
	if _, err := listing.SetCells([]model.Row{reading.Row(0)}, "note", "x"); err == nil {
		t.Error("a reading was changed in a table")
	}
}

func TestWhatIsDeletedComesBackWithUndo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := sample.Draw(t)
		before := m.Clone()
		var rows []model.Row
		for _, table := range []model.Table{model.TableDevice, model.TableTerminal, model.TableWire, model.TableLink, model.TableBond} {
			l := listing.Of(m, table)
			if l.Len() == 0 {
				continue
			}
			for range rapid.IntRange(0, 2).Draw(t, "of "+string(table)) {
				row := l.Row(rapid.IntRange(0, l.Len()-1).Draw(t, "row"))
				if !slices.ContainsFunc(rows, func(other model.Row) bool { return other.Table() == row.Table() && other.ID() == row.ID() }) {
					rows = append(rows, row)
				}
			}
		}
		edit, err := listing.Delete(m, rows)
		if err != nil {
			t.Fatal(err)
		}
		if err := m.Apply(edit); err != nil {
			t.Fatalf("deleting %v: %v", rows, err)
		}
		for _, row := range rows {
			if m.Row(row.Table(), row.ID()) != nil {
				t.Fatalf("%s %s is still there", row.Table(), row.ID())
			}
		}
		if err := m.Apply(edit.Undo()); err != nil {
			t.Fatalf("taking it back: %v", err)
		}
		if !m.Equal(before) {
			t.Fatal("taking it back leaves another machine")
		}
	})
}

func TestPastedRowsShowEachBadCell(t *testing.T) {
	m := demo(t)
	text := "wire\tfrom\tto\tcolour\tgauge\n" +
		"W500\tF1:1\tF2:1\tRD\t0.75 mm2\n" +
		"W501\tF1:9\tF2:1\tRD\t0.75 mm2\n" +
		"W502\tF1\tF2:1\tZZ\t0.75 mm2\n" +
		"W500\tF3:1\tF2:1\tRD\t\n" +
		"W1\tX1:L\tQ1:1\tBN\t1 mm2\n"
	preview, err := listing.Paste(m, model.TableWire, text)
	if err != nil {
		t.Fatal(err)
	}
	if preview.Bad != 3 || len(preview.Lines) != 5 {
		t.Fatalf("%d of %d rows are bad, want 3 of 5: %+v", preview.Bad, len(preview.Lines), preview.Lines)
	}
	if bad := preview.Lines[2]; bad.Wrong[1] == "" || bad.Wrong[3] == "" || bad.Wrong[0] != "" {
		t.Errorf("of W502 the cells %q are called wrong, want from and colour", bad.Wrong)
	}
	if problem := preview.Lines[1].Problem; !strings.Contains(problem, "F1:9") {
		t.Errorf("W501 ends at a terminal that is not there; that is told as %q", problem)
	}
	if !strings.Contains(preview.Lines[3].Problem, "W500 stands in row 1") {
		t.Errorf("the second W500 is told as %q", preview.Lines[3].Problem)
	}
	if !preview.Lines[4].Replaces() {
		t.Error("W1 is on the map, and it is not said that the row replaces it")
	}
	if _, err := preview.Edit(); err == nil {
		t.Error("rows were taken though some are bad")
	}
}

func TestGoodRowsArePasted(t *testing.T) {
	for _, comma := range []string{"\t", ",", ";"} {
		m := demo(t)
		before := len(m.Wires)
		text := strings.ReplaceAll("W500|F1:1|F2:1|RD|0.75 mm2\r\n\r\nW501|F2:1|F3:1|RD\r\n", "|", comma)
		preview, err := listing.Paste(m, model.TableWire, text)
		if err != nil {
			t.Fatalf("%q: %v", comma, err)
		}
		edit, err := preview.Edit()
		if err != nil {
			t.Fatalf("%q: %v: %+v", comma, err, preview.Lines)
		}
		if err := m.Apply(edit); err != nil {
			t.Fatal(err)
		}
		if len(m.Wires) != before+2 {
			t.Errorf("%q: %d wires, want %d", comma, len(m.Wires), before+2)
		}
	}
}

func FuzzPaste(f *testing.F) {
	f.Add("wire\tfrom\tto\nW1\tA1:1\tA2:1")
	f.Add("\"a\nb\";c;d")
	f.Fuzz(func(t *testing.T, text string) {
		m := model.NewMachine()
		for _, table := range []model.Table{model.TableDevice, model.TableTerminal, model.TableWire} {
			preview, err := listing.Paste(m, table, text)
			if err != nil || preview.Bad > 0 {
				continue
			}
			edit, err := preview.Edit()
			if err != nil {
				t.Fatalf("no row is bad, and yet: %v", err)
			}
			if err := m.Clone().Apply(edit); err != nil {
				t.Fatalf("%q is shown as good and not taken: %v", text, err)
			}
		}
	})
}

// BenchmarkArrange sorts and filters the terminals of a large machine, beside
// sorting them by the text as it stands.
func BenchmarkArrange(b *testing.B) {
	m := sample.Machine(1, 100_000)
	l := listing.Of(m, model.TableTerminal)
	b.ReportMetric(float64(l.Len()), "rows")
	for b.Loop() {
		if got := l.Arrange(listing.Order{Column: 2}); len(got) != l.Len() {
			b.Fatal(fmt.Sprint(len(got), " rows"))
		}
	}
}
