package model

import (
	"bytes"
	"encoding/binary"
)

// exifTurn reads from an Exif segment how far the picture is to be turned
// clockwise to stand upright (CIPA DC-008, section 4.6.4, tag Orientation,
// 0x0112; from memory). Mirrored pictures, which no camera makes, are taken as
// if they were not.
func exifTurn(segment []byte) (degrees int, found bool) {
	tiff, isExif := bytes.CutPrefix(segment, []byte("Exif\x00\x00"))
	if !isExif || len(tiff) < 8 {
		return 0, false
	}
	var order binary.ByteOrder
	switch string(tiff[:4]) {
	case "II*\x00":
		order = binary.LittleEndian
	case "MM\x00*":
		order = binary.BigEndian
	default:
		return 0, false
	}
	first := int64(order.Uint32(tiff[4:]))
	if first+2 > int64(len(tiff)) {
		return 0, false
	}
	const entrySize, tagOrientation = 12, 0x0112
	count := int(order.Uint16(tiff[first:]))
	for at := first + 2; count > 0 && at+entrySize <= int64(len(tiff)); count, at = count-1, at+entrySize {
		if order.Uint16(tiff[at:]) != tagOrientation {
			continue
		}
		switch order.Uint16(tiff[at+8:]) {
		case 3, 4:
			return 180, true
		case 5, 6:
			return 90, true
		case 7, 8:
			return 270, true
		}
		return 0, true
	}
	return 0, false
}
