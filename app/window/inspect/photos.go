package inspect

import (
	"image"
	"path/filepath"
	"slices"
	"strings"

	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"

	"bellout/app/session"
	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/model"
)

// photoEndings are those of the files that can be a photo.
var photoEndings = []string{".jpg", ".jpeg", ".png"}

// photoSide is how many pixels a photo is wide here at most.
const photoSide = 640

// showPhotos shows the photos of a device, each with the face that is seen and pins
// where its terminals are, and how another one comes. at is the terminal that is
// looked at; empty: the device is.
func (i *Inspector) showPhotos(ref, at string) {
	photos := i.room.Session.Machine().PhotosOf(ref)
	if at != "" && len(photos) == 0 {
		return
	}
	i.heading("Photos")
	for _, photo := range photos {
		i.showPhoto(photo, at)
	}
	if at != "" {
		i.say("Click the photo to pin " + at + ". Click a pin to look at that terminal.")
		return
	}
	if len(photos) > 0 {
		i.say("Click a pin to look at that terminal. To add a pin: click the terminal on the chart, then the photo.")
	}
	face := i.field()
	face.SetPlaceHolder("which side? e.g. wire side of A")
	wrong := look.BadProse("")
	wrong.Hide()
	choose := keys.NewButton(i.room.Keys, "Choose a photo...", "", func() {
		i.room.Choose(photoEndings, func(path string) {
			i.room.Session.AddPhoto(ref, path, strings.TrimSpace(face.Text), func(err error) {
				if err != nil {
					wrong.Set(err.Error(), look.Now().Bad)
					wrong.Show()
					i.rows.Refresh()
					return
				}
				face.Taken()
			})
		})
	})
	i.add(face, container.NewHBox(choose, container.NewCenter(look.Caption("or drop a JPEG or PNG on the window")), layout.NewSpacer()), wrong)
}

func (i *Inspector) showPhoto(photo model.Photo, at string) {
	frame := container.NewStack()
	i.add(frame)
	words := photo.Face
	if photo.Caption != "" {
		words = strings.TrimPrefix(words+", "+photo.Caption, ", ")
	}
	if words == "" {
		words = "no side is noted"
	}
	change := func(what string, after model.Photo) {
		i.room.Session.Do(model.Edit{What: what, Changes: []model.Change{{Before: photo, After: after}}}, nil)
	}
	pins, _ := photo.Pins.Parse() // the file holds none that cannot be read
	remove := look.NewPress("Remove photo", "", func() {
		i.room.Session.Do(model.Edit{What: "photo of " + photo.Device + " removed", Changes: []model.Change{{Before: photo}}}, nil)
	})
	for _, pin := range pins {
		if pin.Mark == at {
			remove = look.NewPress("Remove pin", "", func() {
				after := photo
				after.Pins = after.Pins.Without(at)
				change("pin of "+photo.Device+":"+at+" removed", after)
			})
		}
	}
	i.add(container.NewBorder(nil, nil, nil, remove, look.SoftProse(words)))
	i.room.Session.AskPicture(photo, photoSide, func(picture image.Image) {
		shown := newPinned(picture, pins, at)
		shown.onPin = func(mark string) {
			i.room.Session.Select(session.Selection{Kind: session.Terminal, Name: photo.Device + ":" + mark})
		}
		shown.onPlace = func(across, down int) {
			if at == "" {
				i.room.Session.Say("To pin a terminal, click it on the chart first, then the photo.")
				return
			}
			after := photo
			after.Pins = after.Pins.With(model.PhotoPin{Mark: at, Across: across, Down: down})
			change(photo.Device+":"+at+" pinned on a photo", after)
		}
		frame.Add(shown)
		frame.Refresh()
		i.rows.Refresh()
	})
}

// Drop takes files that were dropped on the window: photos of the device that is
// looked at. false where they are none.
func (i *Inspector) Drop(paths []string) bool {
	device := ""
	switch selection := i.room.Session.Selection(); selection.Kind {
	case session.Device:
		device = selection.Name
	case session.Terminal:
		device, _, _ = strings.Cut(selection.Name, ":")
	}
	taken := false
	for _, path := range paths {
		if !slices.Contains(photoEndings, strings.ToLower(filepath.Ext(path))) {
			continue
		}
		taken = true
		if device == "" {
			i.room.Session.Say("Click the device that the photo shows, then drop it again.")
			continue
		}
		i.room.Session.AddPhoto(device, path, "", i.room.Session.Complain)
	}
	return taken
}
