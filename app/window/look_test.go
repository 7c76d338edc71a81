package window_test

import "testing"

func TestLookParts(t *testing.T) {
	w, _ := open(t, demoFile(t))
	w.Go("Parts")
	look(t, w, "parts")
}
