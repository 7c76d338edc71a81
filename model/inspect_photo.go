package model

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"hash/crc32"
	"image"
	_ "image/jpeg" // for image.DecodeConfig
	_ "image/png"  // for image.DecodeConfig
)

// ErrPhoto says that bytes are no photo that a project holds.
var ErrPhoto = errors.New("no photo")

func photoError(problem, mend string) error {
	return fmt.Errorf("%w: %s; %s", ErrPhoto, problem, mend)
}

// InspectPhoto looks at the bytes of a picture and returns the row that says
// what they are, for a device to be named in. It reads the header, and walks
// along the parts of the file to its end, so that a picture that was cut short
// is refused; the pixels are not decoded. Errors wrap ErrPhoto. Cost: one pass
// over the bytes.
func InspectPhoto(content []byte) (Photo, error) {
	if len(content) > MaxPhotoBytes {
		return Photo{}, photoError(fmt.Sprintf("the picture has %d MB", len(content)>>20), fmt.Sprintf("make it smaller than %d MB", MaxPhotoBytes>>20))
	}
	header, format, err := image.DecodeConfig(bytes.NewReader(content))
	if err != nil {
		return Photo{}, photoError("the file is neither a JPEG nor a PNG picture", "save it as one of them")
	}
	sum := sha256.Sum256(content)
	photo := Photo{
		Device: "any", Hash: hex.EncodeToString(sum[:]), Format: PhotoFormat(format),
		SizeBytes: int64(len(content)), Width: header.Width, Height: header.Height,
	}
	whole := false
	switch photo.Format {
	case PhotoJPEG:
		whole, photo.TurnDegrees = walkJPEG(content)
	case PhotoPNG:
		whole = walkPNG(content)
	}
	if !whole {
		return Photo{}, photoError("the picture is damaged or cut short", "copy it from the camera again")
	}
	if complaints := photo.Validate(); len(complaints) > 0 {
		return Photo{}, photoError(complaints[0].Problem, complaints[0].Mend)
	}
	photo.Device = ""
	return photo, nil
}

// walkPNG goes from chunk to chunk, each with its checksum, to the last one
// (PNG specification, third edition, section 5.3).
func walkPNG(content []byte) (whole bool) {
	const signature, around = 8, 12 // length, type and checksum lie around a chunk's data
	for at := signature; at+around <= len(content); {
		length := int(binary.BigEndian.Uint32(content[at:]))
		end := at + around + length
		if length < 0 || end > len(content) {
			return false
		}
		if crc32.ChecksumIEEE(content[at+4:end-4]) != binary.BigEndian.Uint32(content[end-4:]) {
			return false
		}
		if string(content[at+4:at+8]) == "IEND" {
			return true
		}
		at = end
	}
	return false
}

// The markers of JPEG that matter here (ITU-T T.81, table B.1).
const (
	markerSOI  = 0xD8
	markerEOI  = 0xD9
	markerSOS  = 0xDA
	markerAPP1 = 0xE1
)

// walkJPEG goes from segment to segment to the end of the picture, and returns
// the quarter turns that the camera noted.
func walkJPEG(content []byte) (whole bool, turnDegrees int) {
	for at := 2; at+4 <= len(content); {
		if content[at] != 0xFF {
			return false, 0
		}
		marker := content[at+1]
		switch {
		case marker == 0xFF: // filling
			at++
			continue
		case marker == 0x01 || marker >= 0xD0 && marker <= markerSOI: // alone
			at += 2
			continue
		case marker == markerEOI:
			return false, 0 // before any pixels
		}
		length := int(binary.BigEndian.Uint16(content[at+2:]))
		end := at + 2 + length
		if length < 2 || end > len(content) {
			return false, 0
		}
		switch marker {
		case markerAPP1:
			if turn, found := exifTurn(content[at+4 : end]); found {
				turnDegrees = turn
			}
		case markerSOS:
			return hasEnd(content[end:]), turnDegrees
		}
		at = end
	}
	return false, 0
}

// hasEnd looks for the end marker after the first scan. In coded data a 0xFF is
// always followed by 0 or a restart marker, so that it can't be mistaken.
func hasEnd(scans []byte) bool { return bytes.Contains(scans, []byte{0xFF, markerEOI}) }
