package model

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// Photo is a picture pinned to a device: a connector seen from one side, a
// board, a nameplate. The row says what the picture is; its bytes lie in the
// file and are read when they are looked at. The same picture is pinned to one
// device once; it may be pinned to others too.
type Photo struct {
	Device  string    `json:"device"`
	Hash    string    `json:"hash"`    // SHA-256 of the bytes, 64 small hexadecimal digits
	Face    string    `json:"face"`    // the side that is seen, as in "wire side of A"
	Caption string    `json:"caption"` // what is to be seen
	At      time.Time `json:"at"`      // when it was taken; zero: not known

	Format    PhotoFormat `json:"format"`
	SizeBytes int64       `json:"size_bytes"`
	Width     int         `json:"width_px"`  // as the pixels lie in the file
	Height    int         `json:"height_px"` // as the pixels lie in the file
	// TurnDegrees is how far the picture is to be turned clockwise to stand
	// upright: 0, 90, 180 or 270.
	TurnDegrees int `json:"turn_degrees"`
	// Pins say where terminals of the device are seen.
	Pins PhotoPins `json:"pins,omitempty"`
}

// PhotoFormat is how the bytes of a photo are coded.
type PhotoFormat string

// The formats of a photo.
const (
	PhotoJPEG PhotoFormat = "jpeg"
	PhotoPNG  PhotoFormat = "png"
)

// PhotoFormats lists every format.
var PhotoFormats = []PhotoFormat{PhotoJPEG, PhotoPNG}

// What a photo may be at most. A picture of 100 million pixels takes 400 MB of
// memory to show.
const (
	MaxPhotoBytes  = 16 << 20
	MaxPhotoSide   = 20000       // pixels
	MaxPhotoPixels = 100_000_000 // width times height
)

var turns = []int{0, 90, 180, 270}

// Table says which table a photo belongs to.
func (p Photo) Table() Table { return TablePhoto }

// ID is the device and the picture: DEVICE:HASH.
func (p Photo) ID() string { return p.Device + ":" + p.Hash }

// Validate returns every complaint about the row by itself; whether the bytes
// are such a picture, InspectPhoto says.
func (p Photo) Validate() []FieldError {
	var found complaints
	found.reference("device", p.Device)
	if len(p.Hash) != 64 || strings.Trim(p.Hash, "0123456789abcdef") != "" {
		found.add("hash", fmt.Sprintf("%q is no SHA-256", p.Hash), "take the row that InspectPhoto makes")
	}
	found.text("face", p.Face)
	found.text("caption", p.Caption)
	found.moment("at", p.At)
	found.oneOf("format", string(p.Format), words(PhotoFormats))
	if p.SizeBytes < 1 || p.SizeBytes > MaxPhotoBytes {
		found.add("size_bytes", fmt.Sprintf("%d bytes", p.SizeBytes), fmt.Sprintf("keep a photo under %d MB; make it smaller", MaxPhotoBytes>>20))
	}
	if p.Width < 1 || p.Height < 1 || p.Width > MaxPhotoSide || p.Height > MaxPhotoSide || p.Width*p.Height > MaxPhotoPixels {
		found.add("width_px", fmt.Sprintf("%d by %d pixels", p.Width, p.Height),
			fmt.Sprintf("keep a photo under %d million pixels and %d on a side; make it smaller", MaxPhotoPixels/1_000_000, MaxPhotoSide))
	}
	if !slices.Contains(turns, p.TurnDegrees) {
		found.add("turn_degrees", fmt.Sprintf("%d is no quarter turn", p.TurnDegrees), "write 0, 90, 180 or 270")
	}
	if _, err := p.Pins.Parse(); err != nil {
		found.add("pins", err.Error(), `write TERMINAL ACROSS DOWN, in thousandths of the upright picture, as in "A1 312 420; A2 340 421"`)
	}
	found.text("pins", string(p.Pins))
	return found
}

// SamePicture says whether two rows say the same of the bytes, whatever they say
// of the picture.
func (p Photo) SamePicture(other Photo) bool {
	return p.Hash == other.Hash && p.Format == other.Format && p.SizeBytes == other.SizeBytes && p.Width == other.Width && p.Height == other.Height
}

// Upright returns the width and height in pixels of the picture as it is
// looked at.
func (p Photo) Upright() (width, height int) {
	if p.TurnDegrees%180 != 0 {
		return p.Height, p.Width
	}
	return p.Width, p.Height
}
