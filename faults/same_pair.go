package faults

import (
	"slices"

	"bellout/model"
)

// Which reading of the same two points comes after another, and whether it was
// taken on a machine that was as much in one piece and switched on.

// SamePair says whether two readings are of the same two points in the same range,
// whichever tip was where.
func SamePair(one, other model.Reading) bool {
	same := one.Red == other.Red && one.Black == other.Black || one.Red == other.Black && one.Black == other.Red
	return same && one.Mode == other.Mode
}

// after says whether a reading was taken after another. Their times decide, so that
// what is imported or noted for yesterday is not taken for the last word; where
// these are equal or not known, the order in which they were stored.
func after(one, other model.Reading) bool {
	if !one.At.IsZero() && !other.At.IsZero() && !one.At.Equal(other.At) {
		return one.At.After(other.At)
	}
	return one.Number > other.Number
}

// asWhole says whether nothing was taken out of the machine for one reading that
// was in it for another: no plug, no wire, no contact. What one shows as gone is
// gone then, and not just switched off.
func asWhole(one, other model.Conditions) bool {
	opens := func(c model.Condition) bool {
		return c.Kind != model.ContactClosed && c.Kind != model.Clipped && c.Kind != model.Driven
	}
	for _, c := range one {
		if opens(c) && !slices.Contains(other, c) {
			return false
		}
	}
	for _, c := range other {
		if !opens(c) && !slices.Contains(one, c) {
			return false
		}
	}
	return true
}
