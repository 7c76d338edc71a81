package scene

import (
	"image/color"

	"bellout/model"
)

// insulation is how each colour of IEC 60757 is drawn: as plastic looks under a
// lamp, told apart from its neighbours in the table. The code stands for a name
// only; these values are our own.
var insulation = map[string]color.NRGBA{
	"BK": rgb(0x14181B), "BN": rgb(0x80471C), "RD": rgb(0xD0231F), "OG": rgb(0xEF7D12), "YE": rgb(0xF2C500),
	"GN": rgb(0x1E8F3E), "BU": rgb(0x1D62D0), "VT": rgb(0x8A3FB5), "GY": rgb(0x8B9095), "WH": rgb(0xFDFCF8),
	"PK": rgb(0xF08DB4), "GD": rgb(0xC39A1F), "TQ": rgb(0x17B3B0), "SR": rgb(0xB9C2C9),
}

func rgb(v uint32) color.NRGBA {
	return color.NRGBA{R: uint8(v >> 16), G: uint8(v >> 8), B: uint8(v), A: 255}
}

// colourNames are the words for the codes, as IEC 60757 gives them, for search
// and for the hint line.
var colourNames = map[string]string{
	"BK": "black", "BN": "brown", "RD": "red", "OG": "orange", "YE": "yellow", "GN": "green", "BU": "blue",
	"VT": "violet", "GY": "grey", "WH": "white", "PK": "pink", "GD": "gold", "TQ": "turquoise", "SR": "silver",
}

// bands returns the colours of a wire, the ground colour of its insulation
// first; nil where it is not known.
func bands(code model.Colour) []color.NRGBA {
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
