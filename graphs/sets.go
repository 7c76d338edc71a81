package graphs

// sets are disjoint sets of small numbers, joined by union-find. The least
// member of a set is its root, so that results do not depend on the order of
// the unions.
type sets []int32

func newSets(count int) sets {
	s := make(sets, count)
	for i := range s {
		s[i] = int32(i)
	}
	return s
}

// find returns the least member of i's set, and halves the way to it.
func (s sets) find(i int32) int32 {
	for s[i] != i {
		s[i] = s[s[i]]
		i = s[i]
	}
	return i
}

// union joins the sets of a and b and says whether they were apart.
func (s sets) union(a, b int32) bool {
	a, b = s.find(a), s.find(b)
	if a == b {
		return false
	}
	if b < a {
		a, b = b, a
	}
	s[b] = a
	return true
}
