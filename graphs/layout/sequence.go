package layout

import (
	"cmp"
	"slices"
)

// sequence orders trunks from left to right. What must hold: a trunk whose left
// tap is at the height of another's right tap stands left of it. What should
// hold: of two that may not share a line, the one first with which they cross
// less. A ring of musts is cut by drawing one trunk in two.
func (c *channel) sequence() []int {
	c.musts()
	count := len(c.trunks)
	after := make([][]int, count)
	hard := make([]int, count)
	soft := make([]int, count)
	prefer := make([][]int, count)
	rightAt := map[float64][]int{}
	for i := range c.trunks {
		for _, y := range c.trunks[i].right {
			rightAt[y] = append(rightAt[y], i)
		}
	}
	must := func(a, b int) {
		after[a] = append(after[a], b)
		hard[b]++
	}
	for i := range c.trunks {
		for _, y := range c.trunks[i].left {
			for _, b := range rightAt[y] {
				if b != i {
					must(i, b)
				}
			}
		}
		if other := c.trunks[i].other; other >= 0 {
			must(i, other)
		}
	}
	natural := c.natural()
	if count <= softLimit {
		for i := range count {
			for j := range i {
				a, b := &c.trunks[i], &c.trunks[j]
				if !near(a, b) {
					continue
				}
				switch ab, ba := cost(a, b), cost(b, a); {
				case ab < ba:
					prefer[i] = append(prefer[i], j)
					soft[j]++
				case ba < ab:
					prefer[j] = append(prefer[j], i)
					soft[i]++
				}
			}
		}
	}
	place := make([]int, count)
	for at, i := range natural {
		place[i] = at
	}
	order := make([]int, 0, count)
	if count > softLimit {
		ready := newHeap(place)
		for i := range count {
			if hard[i] == 0 {
				ready.push(i)
			}
		}
		for len(ready.items) > 0 {
			i := ready.pop()
			order = append(order, i)
			for _, b := range after[i] {
				if hard[b]--; hard[b] == 0 {
					ready.push(b)
				}
			}
		}
		return order
	}
	done := make([]bool, count)
	for len(order) < count {
		best := -1
		for _, i := range natural {
			if done[i] || hard[i] > 0 {
				continue
			}
			if best < 0 || soft[i] < soft[best] {
				best = i
			}
			if soft[best] == 0 {
				break
			}
		}
		done[best] = true
		order = append(order, best)
		for _, b := range after[best] {
			hard[b]--
		}
		for _, b := range prefer[best] {
			soft[b]--
		}
	}
	return order
}

// natural is a good order without a look at pairs: lines that double back at
// the left edge first, then those that go down, lowest first, then those that
// go up, highest first, then those that double back at the right edge.
func (c *channel) natural() []int {
	class := func(t *track) int {
		switch {
		case len(t.right) == 0:
			return 0
		case len(t.left) == 0:
			return 3
		case t.left[0]+t.left[len(t.left)-1] < t.right[0]+t.right[len(t.right)-1]:
			return 1
		default:
			return 2
		}
	}
	order := make([]int, len(c.trunks))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		a, b := &c.trunks[i], &c.trunks[j]
		if ca, cb := class(a), class(b); ca != cb {
			return ca - cb
		}
		switch class(a) {
		case 0:
			return cmp.Compare(a.high-a.low, b.high-b.low)
		case 1:
			return cmp.Compare(b.left[0], a.left[0])
		case 2:
			return cmp.Compare(a.left[0], b.left[0])
		default:
			return cmp.Compare(b.high-b.low, a.high-a.low)
		}
	})
	return order
}
