package inspect

import (
	"image"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"

	"bellout/app/window/keys"
	"bellout/app/window/look"
	"bellout/model"
)

// photoSide is how many pixels a photo is wide here at most.
const photoSide = 640

// showPhotos shows the photos that are pinned to a device, each with the face
// that is seen, and a line that pins another one.
func (i *Inspector) showPhotos(ref string) {
	i.heading("Photos")
	for _, photo := range i.room.Session.Machine().PhotosOf(ref) {
		i.showPhoto(photo)
	}
	path := i.field()
	path.SetPlaceHolder("path of a photo (JPEG or PNG)")
	face := i.field()
	face.SetPlaceHolder("which side? e.g. wire side of A")
	wrong := look.BadProse("")
	wrong.Hide()
	pin := func() {
		if strings.TrimSpace(path.Text) == "" {
			return
		}
		i.room.Session.AddPhoto(ref, strings.TrimSpace(path.Text), strings.TrimSpace(face.Text), func(err error) {
			if err != nil {
				wrong.Set(err.Error(), look.Now().Bad)
				wrong.Show()
				i.rows.Refresh()
				return
			}
			path.Taken()
			face.Taken()
		})
	}
	path.OnSubmitted = func(string) { i.room.Canvas().Focus(face) }
	face.OnSubmitted = func(string) { pin() }
	i.add(path, face, container.NewHBox(keys.NewButton(i.room.Keys, "Add photo", "Enter", pin), layout.NewSpacer()), wrong)
}

func (i *Inspector) showPhoto(photo model.Photo) {
	frame := container.NewStack()
	i.add(frame)
	words := photo.Face
	if photo.Caption != "" {
		words = strings.TrimPrefix(words+", "+photo.Caption, ", ")
	}
	if words == "" {
		words = "no face is noted"
	}
	remove := look.NewPress("Take off", "", func() {
		i.room.Session.Do(model.Edit{What: "photo of " + photo.Device + " taken off", Changes: []model.Change{{Before: photo}}}, nil)
	})
	i.add(container.NewBorder(nil, nil, nil, remove, look.SoftProse(words)))
	i.room.Session.AskPicture(photo, photoSide, func(picture image.Image) {
		shown := canvas.NewImageFromImage(picture)
		shown.FillMode = canvas.ImageFillContain
		size := picture.Bounds().Size()
		shown.SetMinSize(fyne.NewSize(60, width*0.8*float32(size.Y)/float32(max(size.X, 1))))
		frame.Objects = []fyne.CanvasObject{shown}
		frame.Refresh()
		i.rows.Refresh()
	})
}
