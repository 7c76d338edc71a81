package model

import "testing"

func TestPhotoPins(t *testing.T) {
	pins := PhotoPins("").With(PhotoPin{"A2", 340, 421}).With(PhotoPin{"A1", 0, 1000}).With(PhotoPin{"+,", 5, 6}).With(PhotoPin{"A2", 7, 8})
	if pins != "+, 5 6; A1 0 1000; A2 7 8" {
		t.Errorf("%q", pins)
	}
	list, err := pins.Parse()
	if err != nil || len(list) != 3 || list[2] != (PhotoPin{"A2", 7, 8}) {
		t.Errorf("%v, %v", list, err)
	}
	if pins = pins.Without("A1").Without("no such"); pins != "+, 5 6; A2 7 8" {
		t.Errorf("%q", pins)
	}
	for _, bad := range []PhotoPins{"A1", "A1 1", "A1 1 1001", "A1 -1 2", "A1 01 2", "A1 1 2;A2 1 2", "A1 1 2; A1 3 4", "A:1 1 2", " 1 2", "A1 1.5 2"} {
		if list, err := bad.Parse(); err == nil {
			t.Errorf("%q was read as %v", bad, list)
		}
	}
}
