package book

// plugPhotos shows the pictures that are pinned to a device.
func (f *facts) plugPhotos(fl *flow, device string) {}
