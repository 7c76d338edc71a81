package bench

import (
	"testing"
	"time"

	"fyne.io/fyne/v2"

	"bellout/app/session"
	"bellout/app/window/look"
	"bellout/assets/lantern"
	"bellout/model"
	"bellout/model/sample"
)

func sampleFile(t testing.TB, terminals int) string {
	t.Helper()
	edit := model.Edit{What: "a large machine"}
	for _, row := range sample.Machine(1, terminals).Rows() {
		edit.Changes = append(edit.Changes, model.Change{After: row})
	}
	return lantern.FileOf(t, edit)
}

// BenchmarkKeyPress measures a key press in a lead's field to its list laid out
// and ready to be painted, at 5,000 terminals. What else a key may cause
// (storing, the next probe) is done by the worker beside it.
func BenchmarkKeyPress(b *testing.B) {
	s := sit(b, sampleFile(b, 5000), look.New(false, look.Near), fyne.NewSize(440, 820))
	s.ctrl(fyne.KeyK)
	field := s.bench.panel.leads[session.Black].entry
	words := []string{"x1:1", "plug re", "j1", "lamp 5", "zzz"}
	var worst, all time.Duration
	presses := 0
	for i := 0; b.Loop(); i++ {
		for _, letter := range words[i%len(words)] {
			from := time.Now()
			field.TypedRune(letter)
			took := time.Since(from)
			worst, all, presses = max(worst, took), all+took, presses+1
		}
		if i%len(words) == 0 && !s.bench.panel.choices.open() {
			b.Fatal("nothing is listed")
		}
		field.SetText("")
	}
	b.ReportMetric(float64(all.Microseconds())/1000/float64(presses), "ms/key")
	b.ReportMetric(float64(worst.Microseconds())/1000, "ms/worst-key")
}

// TestOnlyTheLinesInViewExist: thousands of readings cost as many lines as the
// list shows.
func TestOnlyTheLinesInViewExist(t *testing.T) {
	s := column(t)
	made := 0
	list := s.bench.panel.readings
	create := list.CreateItem
	list.CreateItem = func() fyne.CanvasObject { made++; return create() }
	for len(list.list) < 20000 {
		r := s.newest()
		r.Number = int64(len(list.list) + 1)
		list.list = append(list.list, r)
	}
	list.Refresh()
	list.ScrollToBottom()
	if made > 40 {
		t.Errorf("%d lines were made for a list that shows about ten", made)
	}
}
