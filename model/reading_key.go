package model

// ReadingKey tells readings apart by what was noted at the bench: equal in it,
// two are one reading, as SameTouch says, in whatever file and under whatever
// number. It can be the key of a map.
type ReadingKey struct {
	second      int64
	nanosecond  int
	red, black  TerminalRef
	mode        Mode
	value       Value
	drift       Drift
	conditions  string
	note, meter string
}

// Key returns what tells the reading apart.
func (r Reading) Key() ReadingKey {
	return ReadingKey{
		second: r.At.Unix(), nanosecond: r.At.Nanosecond(), red: r.Red, black: r.Black, mode: r.Mode, value: r.Value,
		drift: r.Drift, conditions: r.Conditions.String(), note: r.Note, meter: r.Meter,
	}
}
