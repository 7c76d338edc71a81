package sheets

import (
	"context"
	"strings"
	"testing"
	"time"

	"bellout/assets"
	"bellout/model"
	"bellout/model/tables"
)

// lines are the rows of a table, cells parted by |, lists by spaces.
func lines(t *testing.T, table func(context.Context, Job) (*Table, error), m *model.Machine) []string {
	t.Helper()
	made, err := table(t.Context(), Job{Machine: m})
	if err != nil {
		t.Fatal(err)
	}
	list := make([]string, made.Len)
	cells := make([]Cell, len(made.Columns))
	for i := range list {
		made.Fill(i, cells)
		words := make([]string, len(cells))
		for at, cell := range cells {
			words[at] = cell.Print(made.Columns[at])
		}
		list[i] = strings.Join(words, "|")
	}
	return list
}

func lanternLock(t *testing.T) *model.Machine {
	t.Helper()
	content, err := tables.ReadFS(t.Context(), assets.Demo(assets.AsFound), "the demo machine")
	if err != nil {
		t.Fatal(err)
	}
	m, err := content.Machine()
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// What the tables of the demo machine say; the rows were looked at beside its CSV files,
// not counted from them.
func TestPapersOfTheDemo(t *testing.T) {
	m := lanternLock(t)
	for _, want := range []struct {
		sheet string
		rows  int
		line  string
	}{
		{"fuses", 20, "F4:1-2|fuse: relay coils|cabinet|1|K5 K6|0.08|W93 0.75 mm2|W31 W62 W93 W94 W95 W96"},
		{"fuses", 20, "F10:1-2|fuse: screen|cabinet|2|U2|1|W138 0.75 mm2|W32 W138 W139"},
		{"cables", 15, "C1|A1 K1 K2|10|AWG 22|0.5|W63 W64 W65 W66 W67 W68 W69 W70 W71 W72|WH|"},
		{"spares", 7, "X24|0 V of the 5 V loads|terminal-block|cabinet|4|12|9 10 11 12"},
		{"colours", 3, "RD|red|+36 V|7|W25 W46 W47 W167 W168 W177 W178"},
		{"history", 3, "2026-04-02T11:05:00+02:00|B5|gate encoder, left|failed|5 V input shorted"},
		{"stayslive", 0, ""},
	} {
		for _, s := range Sheets {
			if s.Name != want.sheet {
				continue
			}
			got := lines(t, s.Table, m)
			if text := "\n" + strings.Join(got, "\n"); len(got) != want.rows || !strings.Contains(text, "\n"+want.line) && want.rows > 0 {
				t.Errorf("%s: %d rows, want %d, one of them %s; got%s", want.sheet, len(got), want.rows, want.line, text)
			}
		}
	}
}

// A battery is live with the plug out, and the sheet says how it comes off; a wire that
// was taken out leaves its terminals spare and its colour free.
func TestPapersOfABattery(t *testing.T) {
	m := crossed(t)
	g1, _ := m.Device("G1")
	battery := g1
	battery.Kind, battery.Title, battery.Zone = model.KindBattery, "pack", "boat"
	block := model.Device{Ref: "X1", Kind: model.KindTerminalBlock, Health: model.HealthUnknown}
	point := model.Terminal{Device: "X1", Mark: "1"}
	gone := model.Wire{Name: "W4", From: model.TerminalRef{Device: "X1", Mark: "1"}, To: model.TerminalRef{Device: "G1", Mark: "-"}, Basis: model.BasisSeen, Removed: true, Colour: "RD", Cable: "old"}
	when := time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)
	edit := model.Edit{Changes: []model.Change{
		{Before: g1, After: battery}, {After: block}, {After: point}, {After: gone},
		{After: model.Event{At: when, Device: "G1", Word: model.EventReplaced, Note: "new cells"}},
		{After: model.Symptom{At: when.Add(time.Hour), Device: "G2", Word: "dead", Note: "no light", Struck: "its switch was off"}},
	}}
	if err := m.Apply(edit); err != nil {
		t.Fatal(err)
	}
	for _, want := range []struct {
		table func(context.Context, Job) (*Table, error)
		text  string
	}{
		{staysLive, "G1|pack|boat|battery: always live|battery lead off, as its maker says; insulate the ends|"},
		{spares, "X1||terminal-block||1|1|1"},
		{cableSchedule, "loom, back|G1 G2|1|AWG 18|2|W2||"},
		{faultHistory, "2026-05-04T12:00:00Z|G1|pack|replaced|new cells\n2026-05-04T13:00:00Z|G2||dead|no light; struck out: its switch was off"},
	} {
		if got := strings.Join(lines(t, want.table, m), "\n"); !strings.HasPrefix(got, want.text) {
			t.Errorf("got %s\nwant %s", got, want.text)
		}
	}
}
