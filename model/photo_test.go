package model

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"image"
	"image/jpeg"
	"image/png"
	"testing"
)

func codedPNG(t testing.TB, width, height int) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := png.Encode(&out, image.NewGray(image.Rect(0, 0, width, height))); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func codedJPEG(t testing.TB, width, height int) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := jpeg.Encode(&out, image.NewGray(image.Rect(0, 0, width, height)), nil); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// withTurn puts an Exif segment with an orientation behind the start marker.
func withTurn(coded []byte, order binary.AppendByteOrder, orientation uint16) []byte {
	tiff := []byte("MM\x00*")
	if order == binary.LittleEndian {
		tiff = []byte("II*\x00")
	}
	tiff = order.AppendUint32(tiff, 8)
	tiff = order.AppendUint16(tiff, 2)
	for _, entry := range [][2]uint16{{0x010F, 7}, {0x0112, orientation}} {
		tiff = order.AppendUint16(tiff, entry[0])
		tiff = order.AppendUint16(tiff, 3)
		tiff = order.AppendUint32(tiff, 1)
		tiff = order.AppendUint16(tiff, entry[1])
		tiff = order.AppendUint16(tiff, 0)
	}
	body := append([]byte("Exif\x00\x00"), tiff...)
	segment := append(binary.BigEndian.AppendUint16([]byte{0xFF, markerAPP1}, uint16(len(body)+2)), body...)
	return append(append(append([]byte{}, coded[:2]...), segment...), coded[2:]...)
}

func TestInspectPhoto(t *testing.T) {
	plain := codedJPEG(t, 40, 30)
	for name, c := range map[string]struct {
		content []byte
		want    Photo
		upright [2]int
	}{
		"PNG":                    {codedPNG(t, 7, 5), Photo{Format: PhotoPNG, Width: 7, Height: 5}, [2]int{7, 5}},
		"JPEG":                   {plain, Photo{Format: PhotoJPEG, Width: 40, Height: 30}, [2]int{40, 30}},
		"a phone held upright":   {withTurn(plain, binary.BigEndian, 6), Photo{Format: PhotoJPEG, Width: 40, Height: 30, TurnDegrees: 90}, [2]int{30, 40}},
		"a phone on its head":    {withTurn(plain, binary.LittleEndian, 3), Photo{Format: PhotoJPEG, Width: 40, Height: 30, TurnDegrees: 180}, [2]int{40, 30}},
		"turned the other way":   {withTurn(plain, binary.LittleEndian, 8), Photo{Format: PhotoJPEG, Width: 40, Height: 30, TurnDegrees: 270}, [2]int{30, 40}},
		"turned by nothing":      {withTurn(plain, binary.BigEndian, 1), Photo{Format: PhotoJPEG, Width: 40, Height: 30}, [2]int{40, 30}},
		"with bytes behind it":   {append(bytes.Clone(plain), "trailer"...), Photo{Format: PhotoJPEG, Width: 40, Height: 30}, [2]int{40, 30}},
		"an orientation of none": {withTurn(plain, binary.BigEndian, 99), Photo{Format: PhotoJPEG, Width: 40, Height: 30}, [2]int{40, 30}},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := InspectPhoto(c.content)
			if err != nil {
				t.Fatal(err)
			}
			c.want.Hash, c.want.SizeBytes = got.Hash, int64(len(c.content))
			if got != c.want || len(got.Hash) != 64 {
				t.Errorf("got %+v, want %+v", got, c.want)
			}
			if w, h := got.Upright(); [2]int{w, h} != c.upright {
				t.Errorf("upright %d by %d, want %v", w, h, c.upright)
			}
		})
	}
}

func TestPicturesThatAreRefused(t *testing.T) {
	good := map[string][]byte{"PNG": codedPNG(t, 7, 5), "JPEG": withTurn(codedJPEG(t, 40, 30), binary.BigEndian, 6)}
	refuse := func(name string, content []byte) {
		t.Helper()
		if photo, err := InspectPhoto(content); !errors.Is(err, ErrPhoto) {
			t.Errorf("%s: %+v, %v", name, photo, err)
		}
	}
	for name, whole := range good {
		for cut := range whole {
			refuse(name+" cut short", whole[:cut])
		}
	}
	flipped := bytes.Clone(good["PNG"])
	flipped[45] ^= 1
	refuse("a PNG with a wrong checksum", flipped)
	refuse("a text", []byte("wire,from,to\n"))
	refuse("nothing", nil)
	refuse("too many bytes", append(codedJPEG(t, 8, 8), make([]byte, MaxPhotoBytes)...))
	large := codedPNG(t, 7, 5) // a header that claims more than memory holds
	binary.BigEndian.PutUint32(large[16:], 60000)
	binary.BigEndian.PutUint32(large[20:], 60000)
	binary.BigEndian.PutUint32(large[29:], crc32.ChecksumIEEE(large[12:29]))
	refuse("too many pixels", large)
}

// Any bytes at all give a row that is valid, but for its device, or an error.
func FuzzInspectPhoto(f *testing.F) {
	f.Add(codedPNG(f, 7, 5))
	f.Add(withTurn(codedJPEG(f, 8, 8), binary.LittleEndian, 8))
	f.Fuzz(func(t *testing.T, content []byte) {
		photo, err := InspectPhoto(content)
		if err != nil {
			if !errors.Is(err, ErrPhoto) {
				t.Fatal(err)
			}
			return
		}
		photo.Device = "G1"
		if complaints := photo.Validate(); len(complaints) > 0 {
			t.Fatal(complaints)
		}
	})
}

func TestThePictureOfAPhotoIsNeverChanged(t *testing.T) {
	m := sample(t)
	before := m.Photos[0]
	after := before
	after.Caption, after.TurnDegrees = "another", 90
	if err := m.Apply(Edit{Changes: []Change{{Before: before, After: after}}}); err != nil {
		t.Error(err)
	}
	for name, spoil := range map[string]func(*Photo){
		"width": func(p *Photo) { p.Width++ }, "format": func(p *Photo) { p.Format = PhotoJPEG }, "size": func(p *Photo) { p.SizeBytes++ },
		"hash": func(p *Photo) { p.Hash = "f" + p.Hash[1:] },
	} {
		bad := after
		spoil(&bad)
		if err := m.Apply(Edit{Changes: []Change{{Before: after, After: bad}}}); err == nil {
			t.Errorf("another %s was taken", name)
		}
	}
}

func TestDeleteDevices(t *testing.T) {
	m := sample(t)
	for _, refs := range [][]string{{"E1"}, {"G1", "S1"}, {"K9"}, {"G1", "S1", "E1", "E1"}} {
		now := m.Clone()
		edit := now.DeleteDevices(refs...)
		if err := now.Apply(edit); err != nil {
			t.Fatalf("%v: %v", refs, err)
		}
		for _, ref := range refs {
			if _, there := now.Device(ref); there {
				t.Errorf("%s is still there", ref)
			}
		}
		if err := now.Apply(edit.Undo()); err != nil || !now.Equal(m) {
			t.Errorf("%v, taken back: %v", refs, err)
		}
	}
}

func TestPlacesAndPhotosOfADevice(t *testing.T) {
	m := sample(t)
	if p, found := m.Place("E1"); !found || p.X != 3.5 {
		t.Errorf("E1 stands at %+v, %v", p, found)
	}
	if _, found := m.Place("S1"); found {
		t.Error("S1 has a place")
	}
	if list := m.PhotosOf("G1"); len(list) != 1 || list[0].Face != "front" {
		t.Errorf("photos of G1: %v", list)
	}
	if list := m.PhotosOf("S1"); list == nil || len(list) != 0 {
		t.Errorf("photos of S1: %v", list)
	}
	if _, found := m.Template("driver"); !found {
		t.Error("the template is not found")
	}
}
