package kit

// basis keeps cycles independent, counted without carry, by elimination. A
// cycle is known by those of its edges that are not in one spanning tree.
type basis struct {
	tree   nearest
	closes []bool  // by edge: it is not in the tree
	place  []int32 // by edge that closes: its coordinate
	edges  []int32 // by coordinate
	rows   [][]uint64
	work   int
}

func newBasis(g *Graph, size int) *basis {
	b := &basis{tree: g.nearestFrom(0), closes: make([]bool, len(g.Ends)), place: make([]int32, len(g.Ends)), rows: make([][]uint64, size)}
	for e, pair := range g.Ends {
		if b.tree.by[pair[0]] != int32(e) && b.tree.by[pair[1]] != int32(e) {
			b.closes[e] = true
			b.place[e] = int32(len(b.edges))
			b.edges = append(b.edges, int32(e))
		}
	}
	return b
}

// add takes a cycle if it is independent of those taken.
func (b *basis) add(edges []int32) bool {
	row := make([]uint64, (len(b.edges)+63)/64)
	for _, e := range edges {
		if b.closes[e] {
			row[b.place[e]/64] ^= 1 << (b.place[e] % 64)
		}
	}
	for at := range b.edges {
		if row[at/64]&(1<<(at%64)) == 0 {
			continue
		}
		if b.rows[at] == nil {
			b.rows[at] = row
			return true
		}
		for w := at / 64; w < len(row); w++ {
			row[w] ^= b.rows[at][w]
		}
		b.work += len(row)
	}
	b.work += len(b.edges)
	return false
}

// missing returns the edges whose loops by the tree make the basis whole: a
// loop by the tree is one coordinate alone, so those without a row complete it.
func (b *basis) missing() []int32 {
	var edges []int32
	for at, row := range b.rows {
		if row == nil {
			edges = append(edges, b.edges[at])
		}
	}
	return edges
}
