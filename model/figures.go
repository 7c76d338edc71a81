package model

import (
	"math"
	"strconv"
)

// Figures prints a worked-out number for people to read: three figures that
// count, as a hand-held meter shows and as the tolerance of copper and parts
// leaves (IEC 60228 maxima lie 4 to 16 % above the nominal area). A number that
// is read again by a program is printed by FormatNumber.
func Figures(value float64) string {
	if math.IsInf(value, 0) {
		return "over " + Figures(math.Copysign(1e308, value)) // as far as numbers go
	}
	return FormatNumber(toFigures(value, 3))
}

// MeterFigures prints volts or amperes as Figures does, down to thousandths: a
// meter on its usual range shows no less.
func MeterFigures(value float64) string {
	if math.IsInf(value, 0) {
		return Figures(value)
	}
	return FormatNumber(RoundMeter(value))
}

// RoundMeter rounds a number to what MeterFigures prints, for a table that a
// program reads too.
func RoundMeter(value float64) float64 {
	if math.Abs(value) < 1 {
		value = math.Round(value*1000*(1+1e-12)) / 1000
	}
	return toFigures(value, 3)
}

// NotedFigures prints a number that a person or a meter gave, as it was given
// but for what only binary arithmetic added: bench meters have six figures.
func NotedFigures(value float64) string { return FormatNumber(toFigures(value, 6)) }

// PercentText prints a share for people: what is little is not nothing, and what is
// nearly all is not all.
func PercentText(share float64) string {
	switch {
	case share > 0 && share < 0.005:
		return "under 1 %"
	case share < 1 && share >= 0.995:
		return "over 99 %"
	}
	return strconv.FormatFloat(100*share, 'f', 0, 64) + " %"
}

// toFigures rounds to some figures. What lies half-way between two figures does
// not turn on the last bit.
func toFigures(value float64, figures int) float64 {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(value*(1+1e-12), 'g', figures, 64), 64)
	if err != nil || rounded == 0 {
		return 0 // no minus zero
	}
	return rounded
}
