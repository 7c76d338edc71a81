package find

import (
	"math/bits"
	"slices"
	"strings"
)

// Query returns at most most places for what was typed, in an order that can be
// foretold: the reference itself; references that begin so; references that
// begin so without the colon; places on devices of that very kind or title;
// places that have every word; places that have
// words beginning so; references that hold the letters in this order. Within
// each, the natural order of references.
//
// Cost: well under a millisecond at 5,000 terminals, see BenchmarkKeyPress.
func (x *Index) Query(text string, most int) []Place { return x.query(text, most, true) }

// query is Query, with or without the references that hold the letters anyhow.
func (x *Index) query(text string, most int, anyhow bool) []Place {
	typed := strings.ToLower(strings.TrimSpace(text))
	if typed == "" || most <= 0 {
		return nil
	}
	g := &gathering{index: x, most: most, taken: newSet(len(x.places))}
	beginning := newSet(len(x.places))
	if from, to := x.refs.span(typed); from < to {
		exact := newSet(len(x.places))
		for i := from; i < to && x.refs.keys[i] == typed; i++ {
			exact.add(int(x.refs.places[i]))
		}
		g.take(exact)
		for _, place := range x.refs.places[from:to] {
			beginning.add(int(place))
		}
		g.take(beginning)
	}
	if squeezed := squeeze(typed); squeezed != "" {
		from, to := x.compact.span(squeezed)
		for _, place := range x.compact.places[from:to] {
			beginning.add(int(place))
		}
		g.take(beginning)
	}
	if named := x.kinds[typed]; len(named) > 0 && !g.full() {
		called := newSet(len(x.places))
		for _, place := range named {
			called.add(int(place))
		}
		g.take(called)
	}
	if words := strings.Fields(typed); !g.full() {
		if len(words) > 1 {
			words = slices.DeleteFunc(words, func(word string) bool { return word == "pin" || word == "terminal" || word == "wire" })
		}
		if len(words) > 0 {
			g.take(x.all(words, true))
			g.take(x.all(words, false))
		}
	}
	if squeezed := squeeze(typed); anyhow && !g.full() && len(squeezed) > 1 {
		scattered := newSet(len(x.places))
		for i, key := range x.compact.keys {
			if inOrder(squeezed, key) {
				scattered.add(int(x.compact.places[i]))
			}
		}
		g.take(scattered)
	}
	return g.list
}

// Near returns references that somebody may have meant who typed one that is not
// there: those that begin so or have the words, else those with the fewest
// letters changed, at most two. Cost: linear in terminals.
func (x *Index) Near(text string, most int) []string {
	var near []string
	for _, place := range x.query(text, most, false) {
		near = append(near, place.Text)
	}
	typed := squeeze(text)
	if len(near) > 0 || typed == "" {
		return near
	}
	allowed := 1
	if len(typed) > 3 {
		allowed = 2
	}
	byDistance := make([][]int32, allowed+1)
	for i, key := range x.compact.keys {
		if d := distance(typed, key, allowed); d <= allowed {
			byDistance[d] = append(byDistance[d], x.compact.places[i])
		}
	}
	for _, places := range byDistance {
		slices.Sort(places)
		for _, place := range places {
			if len(near) < most {
				near = append(near, x.places[place].Text)
			}
		}
	}
	if len(near) == 0 {
		for _, place := range x.Query(text, most) {
			near = append(near, place.Text)
		}
	}
	return near
}

// span is where in a list the keys are that begin with a prefix.
func (k *keyed) span(prefix string) (from, to int) {
	from, _ = slices.BinarySearch(k.keys, prefix)
	to = from
	for to < len(k.keys) && strings.HasPrefix(k.keys[to], prefix) {
		to++
	}
	return from, to
}

// all returns the places that have every word, as a whole or as a beginning.
func (x *Index) all(words []string, whole bool) set {
	var common set
	for _, word := range words {
		have := newSet(len(x.places))
		for i, _ := slices.BinarySearch(x.words, word); i < len(x.words); i++ {
			if whole && x.words[i] != word || !strings.HasPrefix(x.words[i], word) {
				break
			}
			for _, place := range x.holding[i] {
				have.add(int(place))
			}
		}
		if common == nil {
			common = have
			continue
		}
		for i := range common {
			common[i] &= have[i]
		}
	}
	return common
}

// gathering fills a list of places without taking one twice.
type gathering struct {
	index *Index
	most  int
	taken set
	list  []Place
}

func (g *gathering) full() bool { return len(g.list) >= g.most }

func (g *gathering) take(from set) {
	for i, word := range from {
		word &^= g.taken[i]
		for word != 0 && !g.full() {
			place := i*64 + bits.TrailingZeros64(word)
			word &= word - 1
			g.taken.add(place)
			g.list = append(g.list, g.index.places[place])
		}
		if g.full() {
			return
		}
	}
}

// set holds places, one bit each.
type set []uint64

func newSet(of int) set { return make(set, (of+63)/64) }

func (s set) add(place int) { s[place/64] |= 1 << (place % 64) }

// inOrder says whether key holds the letters of typed in their order.
func inOrder(typed, key string) bool {
	for i := 0; i < len(typed); i++ {
		at := strings.IndexByte(key, typed[i])
		if at < 0 {
			return false
		}
		key = key[at+1:]
	}
	return true
}

// distance counts the bytes to change, add or leave out to get from a to b; what
// is more than most may come back as any number above it.
func distance(a, b string, most int) int {
	if len(a)-len(b) > most || len(b)-len(a) > most {
		return most + 1
	}
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		before := row[0]
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := before
			if a[i-1] != b[j-1] {
				change++
			}
			before = row[j]
			row[j] = min(change, row[j]+1, row[j-1]+1)
		}
	}
	return row[len(b)]
}

// Exact returns the one terminal whose reference was typed, capitals and colon
// aside; false where several or none could be meant.
func (x *Index) Exact(text string) (Place, bool) {
	typed := strings.ToLower(strings.TrimSpace(text))
	for _, by := range []struct {
		keyed
		key string
	}{{x.refs, typed}, {x.compact, squeeze(typed)}} {
		from, _ := slices.BinarySearch(by.keys, by.key)
		to := from
		for to < len(by.keys) && by.keys[to] == by.key {
			to++
		}
		if to-from == 1 && by.key != "" {
			return x.places[by.places[from]], true
		}
	}
	return Place{}, false
}
