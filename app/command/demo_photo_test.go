package command

import (
	"bytes"
	"testing"

	"bellout/model"
)

// The drawing is a small picture that a project file takes, and the same one every
// time: two demo files then hold one picture.
func TestTheDemoPictureIsSmallAndAlwaysTheSame(t *testing.T) {
	first, err := deskPicture()
	if err != nil {
		t.Fatal(err)
	}
	again, err := deskPicture()
	if err != nil || !bytes.Equal(first, again) {
		t.Errorf("another picture: %v", err)
	}
	if len(first) > 20<<10 {
		t.Errorf("%d bytes", len(first))
	}
	seen, err := model.InspectPhoto(first)
	if err != nil || seen.Width != 450 || seen.Height != 300 {
		t.Errorf("%+v, %v", seen, err)
	}
}
