package store

// Readings and touches stand in one order, the model's Stored: that of the
// journal rows that stored them, with room between two rows for what a merge
// brings from another copy.
const (
	rankStep = 1 << 20
	rankSQL  = "ifnull(rank, stored * 1048576)"
)

// rankOf returns the rank of a journal row.
func rankOf(row int64) int64 { return row * rankStep }
