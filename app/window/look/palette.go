// Package look is how the window looks: one palette by day and one by night,
// type in three sizes, and the few marks by which things are told apart without
// colour.
package look

import "image/color"

// Palette is a set of colours that go together. What carries text has a
// contrast of at least 4.5 to 1 against every ground that it is put on, which a
// test holds.
type Palette struct {
	Ground  color.NRGBA // behind everything
	Raised  color.NRGBA // cards and fields
	Sunken  color.NRGBA // the chart's sheet, the status line
	Ink     color.NRGBA // what is read
	Soft    color.NRGBA // what is read second
	Line    color.NRGBA // borders and separators; carries no text
	Accent  color.NRGBA // what the next action is
	OnTint  color.NRGBA // text on Accent, Good, Bad and Warn as grounds
	Chosen  color.NRGBA // ground of what is selected
	Good    color.NRGBA // agrees, proven
	Bad     color.NRGBA // contradicts, fault
	Warn    color.NRGBA // undecided, warning
	RedTip  color.NRGBA // the red lead
	BlkTip  color.NRGBA // the black lead
	Shadow  color.NRGBA
	Hovered color.NRGBA
}

// Day is paper under a work lamp: warm, so that white insulation is seen on it.
var Day = Palette{
	Ground: hex(0xF1EDE4), Raised: hex(0xFCFAF5), Sunken: hex(0xE8E3D8),
	Ink: hex(0x1B2226), Soft: hex(0x4F5A62), Line: hex(0xC4BCAC),
	Accent: hex(0x0A5960), OnTint: hex(0xFFFFFF), Chosen: hex(0xCFE4E2),
	Good: hex(0x1C6136), Bad: hex(0xA3201A), Warn: hex(0x7A4E00),
	RedTip: hex(0xB3211B), BlkTip: hex(0x1B2226),
	Shadow: color.NRGBA{0, 0, 0, 40}, Hovered: color.NRGBA{10, 89, 96, 28},
}

// Night is the same in a dim hall: dark, not black, so that black insulation is
// seen on it.
var Night = Palette{
	Ground: hex(0x171D20), Raised: hex(0x212A2E), Sunken: hex(0x101517),
	Ink: hex(0xF0ECE3), Soft: hex(0xB4BDC0), Line: hex(0x46535A),
	Accent: hex(0x74CFC8), OnTint: hex(0x0D1416), Chosen: hex(0x1D3B3E),
	Good: hex(0x86D39A), Bad: hex(0xFF9184), Warn: hex(0xF2C264),
	RedTip: hex(0xFF8175), BlkTip: hex(0xF0ECE3),
	Shadow: color.NRGBA{0, 0, 0, 120}, Hovered: color.NRGBA{116, 207, 200, 30},
}

func hex(rgb uint32) color.NRGBA {
	return color.NRGBA{R: uint8(rgb >> 16), G: uint8(rgb >> 8), B: uint8(rgb), A: 255}
}
