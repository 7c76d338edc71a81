package drawing

import (
	"image/color"

	"bellout/model"
)

// insulation is how each colour of IEC 60757 is drawn: as plastic looks under a
// lamp, told apart from its neighbours in the table. The code stands for a name
// only; these values are our own.
var insulation = map[string]color.NRGBA{
	"BK": RGB(0x14181B), "BN": RGB(0x80471C), "RD": RGB(0xD0231F), "OG": RGB(0xEF7D12), "YE": RGB(0xF2C500),
	"GN": RGB(0x1E8F3E), "BU": RGB(0x1D62D0), "VT": RGB(0x8A3FB5), "GY": RGB(0x8B9095), "WH": RGB(0xFDFCF8),
	"PK": RGB(0xF08DB4), "GD": RGB(0xC39A1F), "TQ": RGB(0x17B3B0), "SR": RGB(0xB9C2C9),
}

// colourNames are the words for the codes, as IEC 60757 gives them.
var colourNames = map[string]string{
	"BK": "black", "BN": "brown", "RD": "red", "OG": "orange", "YE": "yellow", "GN": "green", "BU": "blue",
	"VT": "violet", "GY": "grey", "WH": "white", "PK": "pink", "GD": "gold", "TQ": "turquoise", "SR": "silver",
}

// RGB is an opaque colour, written as 0xRRGGBB.
func RGB(v uint32) color.NRGBA {
	return color.NRGBA{R: uint8(v >> 16), G: uint8(v >> 8), B: uint8(v), A: 255}
}

// Insulation returns the colours of a wire, the ground colour of its insulation
// first; nil where it is not known.
func Insulation(code model.Colour) []color.NRGBA {
	if code == model.GreenYellow { // mostly green is what is seen from afar
		return []color.NRGBA{insulation["GN"], insulation["YE"]}
	}
	var found []color.NRGBA
	for text := string(code); len(text) >= 2; text = text[2:] {
		if c, known := insulation[text[:2]]; known {
			found = append(found, c)
		}
	}
	return found
}

// ColourWords is a colour in words, as in "green-yellow"; empty where not known.
func ColourWords(code model.Colour) string {
	words := ""
	for text := string(code); len(text) >= 2; text = text[2:] {
		if words != "" {
			words += "-"
		}
		words += colourNames[text[:2]]
	}
	return words
}
