package store

// Readings and touches stand in one order, the model's Stored: that of the
// journal rows that stored them, with room between two rows for what a merge
// brings from another copy. That stands as many milliseconds behind a row as it
// was made later; there is room for 69 years, and for two million rows.
const (
	rankStep = 1 << 41
	rankSQL  = "ifnull(rank, stored * 2199023255552)"
)

// rankOf returns the rank of a journal row.
func rankOf(row int64) int64 { return row * rankStep }
