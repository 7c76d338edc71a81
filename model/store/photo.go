package store

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"

	"bellout/model"
)

// AddPhoto pins a picture to photo.Device, as one edit. Of photo it takes the
// device, face, caption, time and pins, and the turn where it is not 0; the rest it
// reads from content, and returns the whole row. A picture that is no JPEG or
// PNG, damaged or too large gives an error that wraps model.ErrPhoto; one that
// is pinned to the device already a *model.RowError.
func (f *File) AddPhoto(photo model.Photo, content []byte) (model.Photo, error) {
	seen, err := model.InspectPhoto(content)
	if err != nil {
		return model.Photo{}, err
	}
	seen.Device, seen.Face, seen.Caption, seen.At, seen.Pins = photo.Device, photo.Face, photo.Caption, photo.At, photo.Pins
	if photo.TurnDegrees != 0 {
		seen.TurnDegrees = photo.TurnDegrees
	}
	edit := model.Edit{What: "photo of " + photo.Device, Changes: []model.Change{{After: seen}}}
	if err := f.DoWithPictures(edit, content); err != nil {
		return model.Photo{}, err
	}
	return seen, nil
}

// DoWithPictures is Do for an edit that brings photos, with the bytes of those
// whose bytes are not in the file yet. Each new photo of the edit must say of
// its bytes what model.InspectPhoto says.
func (f *File) DoWithPictures(edit model.Edit, contents ...[]byte) error {
	pictures := make(map[string]model.Photo, len(contents))
	for _, content := range contents {
		seen, err := model.InspectPhoto(content)
		if err != nil {
			return err
		}
		pictures[seen.Hash] = seen
	}
	for at, change := range edit.Changes {
		photo, isPhoto := change.After.(model.Photo)
		if seen, given := pictures[photo.Hash]; isPhoto && given && !photo.SamePicture(seen) {
			return &model.RowError{At: at, Change: change, Field: "hash",
				Err: fmt.Errorf("%w: the row does not fit the bytes; take what InspectPhoto says", model.ErrPhoto)}
		}
	}
	if len(edit.Changes) == 0 {
		return nil
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.transact(func() error {
		for _, content := range contents {
			if err := insertPicture(f.c, content); err != nil {
				return err
			}
		}
		return f.do(edit, kindEdit)
	})
}

// PictureBytes returns the bytes of a photo, as they were added: a JPEG or a
// PNG file. They are read from the file each time, and looked at: damaged ones
// give ErrDamaged. Cost: the size of the picture; other methods wait.
func (f *File) PictureBytes(hash string) ([]byte, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if err := f.still(); err != nil {
		return nil, err
	}
	var content []byte
	err := f.c.each("SELECT body FROM pictures WHERE hash = ?", 1, func(row *cells) error {
		content = bytes.Clone(row.blob(0))
		return nil
	}, hash)
	if err != nil {
		return nil, f.readError(err)
	}
	if content == nil {
		return nil, fmt.Errorf("%w: %s holds no picture %s; look at the machine again", model.ErrPhoto, f.path, hash)
	}
	if hashOf(content) != hash {
		return nil, damaged(f.path, "a picture is damaged", nil)
	}
	return content, nil
}

func hashOf(content []byte) string {
	sum := sha256.Sum256(content)
	return hex.EncodeToString(sum[:])
}

func insertPicture(c *conn, content []byte) error {
	_, err := c.exec("INSERT INTO pictures (hash, body) VALUES (?, ?) ON CONFLICT (hash) DO NOTHING", hashOf(content), content)
	return err
}

func loadPhotos(c *conn) (list []model.Photo, err error) {
	err = c.each(`SELECT d.device, p.hash, p.face, p.caption, p.at, p.format, p.size_bytes, p.width, p.height, p.turn, p.pins
		FROM photos p JOIN devices d ON d.id = p.device ORDER BY p.id`, 11, func(row *cells) error {
		list = append(list, model.Photo{
			Device: row.name(0), Hash: row.note(1), Face: row.note(2), Caption: row.note(3), At: row.moment(4), Format: word(row, 5, model.PhotoFormats),
			SizeBytes: row.integer(6), Width: int(row.integer(7)), Height: int(row.integer(8)), TurnDegrees: int(row.integer(9)),
			Pins: model.PhotoPins(row.note(10)),
		})
		return nil
	})
	return list, err
}

func (w *writer) insertPhoto(p model.Photo) error {
	held, err := w.c.number("SELECT count(*) FROM pictures WHERE hash = ?", p.Hash)
	if err != nil {
		return err
	}
	if held == 0 {
		return fmt.Errorf("%w: its bytes are not in the file; add them with it", model.ErrPhoto)
	}
	return w.c.execOne(`INSERT INTO photos (device, hash, face, caption, at, format, size_bytes, width, height, turn, pins)
		VALUES (`+devicePlaceSQL+`, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)`,
		p.Device, p.Hash, p.Face, p.Caption, model.FormatTime(p.At), string(p.Format), p.SizeBytes, int64(p.Width), int64(p.Height), int64(p.TurnDegrees), string(p.Pins))
}

func (w *writer) updatePhoto(p model.Photo) error {
	return w.c.execOne("UPDATE photos SET face = ?3, caption = ?4, at = ?5, turn = ?6, pins = ?7 WHERE device = "+devicePlaceSQL+" AND hash = ?2",
		p.Device, p.Hash, p.Face, p.Caption, model.FormatTime(p.At), int64(p.TurnDegrees), string(p.Pins))
}

func (w *writer) deletePhoto(p model.Photo) error {
	return w.c.execOne("DELETE FROM photos WHERE device = "+devicePlaceSQL+" AND hash = ?2", p.Device, p.Hash)
}
