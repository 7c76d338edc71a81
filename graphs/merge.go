package graphs

import "slices"

// mergeSorted returns one sorted list of sorted lists. It writes to none of
// them. A short list merges into a long one with few comparisons.
func mergeSorted(lists [][]int, compare func(a, b int) int) []int {
	if len(lists) == 0 {
		return []int{}
	}
	lists = slices.Clone(lists)
	slices.SortFunc(lists, func(a, b []int) int { return len(a) - len(b) })
	for len(lists) > 1 { // pairs of like size, round after round
		half := lists[:0]
		for i := 0; i+1 < len(lists); i += 2 {
			half = append(half, mergeTwo(lists[i], lists[i+1], compare))
		}
		if len(lists)%2 == 1 {
			half = append(half, lists[len(lists)-1])
		}
		lists = half
	}
	return slices.Clone(lists[0])
}

func mergeTwo(short, long []int, compare func(a, b int) int) []int {
	if len(short) > len(long) {
		short, long = long, short
	}
	merged := make([]int, 0, len(short)+len(long))
	if len(short)*8 < len(long) {
		for _, item := range short {
			at, _ := slices.BinarySearchFunc(long, item, compare)
			merged = append(append(merged, long[:at]...), item)
			long = long[at:]
		}
		return append(merged, long...)
	}
	for len(short) > 0 && len(long) > 0 {
		if compare(short[0], long[0]) <= 0 {
			merged, short = append(merged, short[0]), short[1:]
		} else {
			merged, long = append(merged, long[0]), long[1:]
		}
	}
	return append(append(merged, short...), long...)
}
