package book

import (
	"image/color"

	"bellout/model"
)

// insulation is how each colour of IEC 60757 is printed. The code stands for a
// name only; these values are our own.
var insulation = map[string]color.NRGBA{
	"BK": tint(0x14181B), "BN": tint(0x80471C), "RD": tint(0xD0231F), "OG": tint(0xEF7D12), "YE": tint(0xF2C500),
	"GN": tint(0x1E8F3E), "BU": tint(0x1D62D0), "VT": tint(0x8A3FB5), "GY": tint(0x8B9095), "WH": tint(0xFFFFFF),
	"PK": tint(0xF08DB4), "GD": tint(0xC39A1F), "TQ": tint(0x17B3B0), "SR": tint(0xB9C2C9),
}

var colourNames = map[string]string{
	"BK": "black", "BN": "brown", "RD": "red", "OG": "orange", "YE": "yellow", "GN": "green", "BU": "blue",
	"VT": "violet", "GY": "grey", "WH": "white", "PK": "pink", "GD": "gold", "TQ": "turquoise", "SR": "silver",
}

func tint(v uint32) color.NRGBA {
	return color.NRGBA{R: uint8(v >> 16), G: uint8(v >> 8), B: uint8(v), A: 255}
}

func bands(code model.Colour) []color.NRGBA {
	var found []color.NRGBA
	for text := string(code); len(text) >= 2; text = text[2:] {
		if c, known := insulation[text[:2]]; known {
			found = append(found, c)
		}
	}
	return found
}

// colourWords is a colour in words, as in "green-yellow"; empty where not known.
func colourWords(code model.Colour) string {
	words := ""
	for text := string(code); len(text) >= 2; text = text[2:] {
		if words != "" {
			words += "-"
		}
		words += colourNames[text[:2]]
	}
	return words
}
