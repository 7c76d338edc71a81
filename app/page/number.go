package page

import "strconv"

// Digits prints a computed value to three significant digits, without an
// exponent: what a meter shows, and more than the tolerance of copper leaves
// (IEC 60228 maxima lie 4 to 16 % above the nominal area).
func Digits(value float64) string {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(value, 'g', 3, 64), 64)
	if err != nil || rounded == 0 {
		return "0"
	}
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}
