package model

import (
	"fmt"
	"strings"
)

// Colour is an insulation colour in the letters of IEC 60757: one code, or the
// codes of several colours on one conductor written one after another (RDBU).
// Empty means not known.
type Colour string

// ColourCodes are the letter codes of IEC 60757:1983, in the order of its
// table, which is also the order in which joined codes are written
// (IEC 60757:2021 cl. 5.1).
var ColourCodes = []string{"BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "GD", "TQ", "SR"}

// GreenYellow is the protective conductor's colour (IEC 60757, IEC 60445).
const GreenYellow Colour = "GNYE"

// ParseColour reads a code of IEC 60757. Lower case carries the same meaning
// and is written upper; joined codes are brought into the order of the table,
// but for GNYE, which is a code of its own.
func ParseColour(text string) (Colour, error) {
	code := strings.ToUpper(strings.TrimSpace(text))
	if code == "" || code == string(GreenYellow) {
		return Colour(code), nil
	}
	if code == "YEGN" {
		return GreenYellow, nil
	}
	present := make(map[string]bool)
	for rest := code; rest != ""; rest = rest[2:] {
		if len(rest) < 2 || !knownColour(rest[:2]) || present[rest[:2]] {
			return "", fmt.Errorf("unknown colour %q; write a code of IEC 60757 (%s, GNYE), joined where a wire has several, as in RDBU",
				text, strings.Join(ColourCodes, ", "))
		}
		present[rest[:2]] = true
	}
	var joined strings.Builder
	for _, known := range ColourCodes {
		if present[known] {
			joined.WriteString(known)
		}
	}
	return Colour(joined.String()), nil
}

func knownColour(code string) bool {
	for _, known := range ColourCodes {
		if code == known {
			return true
		}
	}
	return false
}
