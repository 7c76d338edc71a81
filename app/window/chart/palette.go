package chart

import (
	"image/color"

	"bellout/app/window/chart/scene"
	"bellout/app/window/look"
)

// paletteOf are the sheet's colours out of those of the window. The bands under
// upstream paths are pale by day and deep by night, so that the insulation on them
// and the letters in them are seen.
func paletteOf(t *look.Theme) scene.Palette {
	p := scene.Palette{
		Ground: t.Sunken, Box: t.Raised, Ink: t.Ink, Soft: t.Soft, Line: t.Line, Accent: t.Accent, OnTint: t.OnTint,
		Bad: t.Bad, Warn: t.Warn, Red: t.RedTip, Black: t.BlkTip,
	}
	if t.Dark {
		p.Paths = [scene.PathKinds]color.NRGBA{
			scene.Joined: hex(0x2A5F62), scene.Feed: hex(0x7A3F2C), scene.Return: hex(0x2C5484),
			scene.Earth: hex(0x36682C), scene.Mains: hex(0x6E5A14), scene.Signal: hex(0x5C3D78),
		}
		return p
	}
	p.Paths = [scene.PathKinds]color.NRGBA{
		scene.Joined: hex(0x9CC9C6), scene.Feed: hex(0xE8AD98), scene.Return: hex(0x9BBDE6),
		scene.Earth: hex(0xA5D295), scene.Mains: hex(0xE0C25C), scene.Signal: hex(0xCBACE2),
	}
	return p
}

func hex(rgb uint32) color.NRGBA {
	return color.NRGBA{R: uint8(rgb >> 16), G: uint8(rgb >> 8), B: uint8(rgb), A: 255}
}
