package kit

// Sets are disjoint sets of small numbers, joined by union-find. The least
// member of a set is its root, so that results do not depend on the order of
// the unions.
type Sets[N int | int32] []N

// NewSets returns so many sets of one member each.
func NewSets[N int | int32](count int) Sets[N] {
	s := make(Sets[N], count)
	for i := range s {
		s[i] = N(i)
	}
	return s
}

// Add makes one more set and returns its member.
func (s *Sets[N]) Add() N {
	*s = append(*s, N(len(*s)))
	return N(len(*s) - 1)
}

// Find returns the least member of i's set, and halves the way to it.
func (s Sets[N]) Find(i N) N {
	for s[i] != i {
		s[i] = s[s[i]]
		i = s[i]
	}
	return i
}

// Same says whether a and b are in one set.
func (s Sets[N]) Same(a, b N) bool { return s.Find(a) == s.Find(b) }

// Union joins the sets of a and b and says whether they were apart.
func (s Sets[N]) Union(a, b N) bool {
	a, b = s.Find(a), s.Find(b)
	if a == b {
		return false
	}
	s[max(a, b)] = min(a, b)
	return true
}

// Numbers numbers the sets in the order of their least members and returns each
// one's.
func (s Sets[N]) Numbers() []N {
	numbers := make([]N, len(s))
	count := N(0)
	for i := range s {
		if root := s.Find(N(i)); root == N(i) {
			numbers[i] = count
			count++
		} else {
			numbers[i] = numbers[root]
		}
	}
	return numbers
}
