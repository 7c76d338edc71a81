package model

import (
	"iter"
	"maps"
	"sync/atomic"
)

// index is a map that snapshots share. As long as it is the machine's own it is
// one map. Once a snapshot was taken, base is read by both and written by
// neither: what each changes goes into a small map of its own.
type index[K comparable, V any] struct {
	base  map[K]V
	over  map[K]V        // what is otherwise than in base
	gone  map[K]struct{} // what base has and we have not
	owner uint64         // the generation of the machine that may write to base
	drawn bool           // base was copied from a shared one: what its values point to may be shared
}

// generations counts machines and snapshots, so that no two are equal.
var generations atomic.Uint64

func newIndex[K comparable, V any](owner uint64, base map[K]V) index[K, V] {
	return index[K, V]{base: base, owner: owner}
}

func (x *index[K, V]) get(key K) (value V, found bool) {
	if x.over != nil {
		if value, found = x.over[key]; found {
			return value, true
		}
		if _, gone := x.gone[key]; gone {
			return value, false
		}
	}
	value, found = x.base[key]
	return value, found
}

func (x *index[K, V]) set(generation uint64, key K, value V) {
	if x.mayWrite(generation) {
		x.base[key] = value
		return
	}
	delete(x.gone, key)
	x.over[key] = value
}

func (x *index[K, V]) del(generation uint64, key K) {
	if x.mayWrite(generation) {
		delete(x.base, key)
		return
	}
	delete(x.over, key)
	if _, inBase := x.base[key]; inBase {
		x.gone[key] = struct{}{}
	}
}

// mayWrite says whether base is our own. It makes it so where much was changed
// beside it: then one copy costs less than what every snapshot would.
func (x *index[K, V]) mayWrite(generation uint64) bool {
	if x.owner == generation {
		return true
	}
	if beside := len(x.over) + len(x.gone); beside > 256+len(x.base)/32 {
		*x = newIndex(generation, x.whole())
		x.drawn = true
		return true
	}
	if x.over == nil {
		x.over, x.gone = map[K]V{}, map[K]struct{}{}
	}
	return false
}

// whole returns a map of its own with all that is in the index.
func (x *index[K, V]) whole() map[K]V {
	all := maps.Clone(x.base)
	if all == nil {
		all = map[K]V{}
	}
	for key := range x.gone {
		delete(all, key)
	}
	maps.Copy(all, x.over)
	return all
}

// share returns the index for a snapshot: base is nobody's own any more once the
// machine has another generation.
func (x *index[K, V]) share() index[K, V] {
	return index[K, V]{base: x.base, over: maps.Clone(x.over), gone: maps.Clone(x.gone)}
}

func (x *index[K, V]) keys() iter.Seq[K] {
	return func(yield func(K) bool) {
		for key := range x.over {
			if !yield(key) {
				return
			}
		}
		for key := range x.base {
			_, again := x.over[key]
			_, gone := x.gone[key]
			if !again && !gone && !yield(key) {
				return
			}
		}
	}
}
