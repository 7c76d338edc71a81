package layout

import "bellout/graphs/kit"

// dots marks where wires that share terminals part: points with ink in three
// directions or more, ports left out.
func (b *builder) dots() {
	joined := kit.NewSets[int](len(b.terminals))
	for _, w := range b.wires {
		joined.Union(w.from, w.to)
	}
	groups := map[int][]int{}
	for i, w := range b.wires {
		root := joined.Find(w.from)
		groups[root] = append(groups[root], i)
	}
	for i, w := range b.wires {
		root := joined.Find(w.from)
		group := groups[root]
		if group[0] == i && len(group) > 1 { // once a group, in the order of wires
			b.dotsOf(group)
		}
	}
}

func (b *builder) dotsOf(group []int) {
	ends := map[Point]bool{}
	corners := map[Point]bool{}
	var order []Point
	for _, i := range group {
		points := b.plan.Wires[i].Points
		ends[points[0]], ends[points[len(points)-1]] = true, true
		for _, p := range points {
			if !corners[p] {
				corners[p] = true
				order = append(order, p)
			}
		}
	}
	for _, p := range order {
		if ends[p] {
			continue
		}
		var left, right, above, below bool
		for _, i := range group {
			points := b.plan.Wires[i].Points
			for k := 1; k < len(points); k++ {
				a, z := points[k-1], points[k]
				if a.Y == z.Y && a.Y == p.Y && min(a.X, z.X) <= p.X && p.X <= max(a.X, z.X) {
					left = left || min(a.X, z.X) < p.X
					right = right || max(a.X, z.X) > p.X
				}
				if a.X == z.X && a.X == p.X && min(a.Y, z.Y) <= p.Y && p.Y <= max(a.Y, z.Y) {
					above = above || min(a.Y, z.Y) < p.Y
					below = below || max(a.Y, z.Y) > p.Y
				}
			}
		}
		count := 0
		for _, ink := range []bool{left, right, above, below} {
			if ink {
				count++
			}
		}
		if count >= 3 {
			b.plan.Dots = append(b.plan.Dots, Dot{At: p, Net: b.plan.Wires[group[0]].Net})
		}
	}
}
