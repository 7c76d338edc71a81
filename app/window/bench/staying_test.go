package bench

import (
	"strings"
	"testing"
	"testing/fstest"

	"fyne.io/fyne/v2"

	"bellout/app/window/look"
)

// Where somebody goes by hand, the bench says what is live there with the plug out,
// and what to take out, until that is noted.
func TestATouchByHandNamesWhatStaysLive(t *testing.T) {
	file := func(text string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(text)} }
	path := tablesFile(t, fstest.MapFS{
		"devices.csv":   file("device,kind\nBT1,battery\nF5,fuse\nH1,lamp\n"),
		"terminals.csv": file("device,terminal,role,volts\nBT1,+,rail,12\nBT1,-,return,\nF5,1,pass,\nF5,2,pass,\nH1,+,feed,12\nH1,-,return,\n"),
		"links.csv":     file("device,from,to,kind,value\nF5,1,2,fuse,10\nH1,+,-,resistance,4\n"),
		"wires.csv":     file("wire,from,to\nW1,BT1:+,F5:1\nW2,F5:2,H1:+\nW3,H1:-,BT1:-\n"),
	})
	s := sit(t, path, look.New(false, look.Near), fyne.NewSize(440, 820))
	s.ctrl(fyne.KeyL)
	s.write("h1:+")
	s.press(fyne.KeyReturn)
	s.write("h1:-")
	s.press(fyne.KeyReturn)
	words := read(s.bench.panel.upper)
	for _, want := range []string{"Battery BT1 stays live with the plug out: F5 out", "Take F5 out", "open F5:1-2"} {
		if !strings.Contains(words, want) {
			t.Errorf("%q does not say %q", words, want)
		}
	}
	if err := s.desk.AddConditions("open F5:1-2"); err != nil {
		t.Fatal(err)
	}
	words = read(s.bench.panel.upper)
	if strings.Contains(words, "Take F5 out") || !strings.Contains(words, "Battery BT1 stays live") {
		t.Errorf("with F5 out and noted: %q", words)
	}
	s.write("12.5V")
	if words := read(s.bench.panel.upper); !strings.Contains(words, "Pulling the plug does not end it") {
		t.Errorf("volts at a battery's lamp: %q", words)
	}
}
