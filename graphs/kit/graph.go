package kit

// Graph is a plain multigraph with small numbers for vertices and edges. An edge
// from a vertex to itself is in no block, on no path and in no cycle.
type Graph struct {
	Ends     [][2]int32 // of each edge
	Absent   []bool     // edges that are not there; nil: all are
	first    []int32    // first[v] .. first[v+1] in incident: the edges at v
	incident []int32    // rising within each vertex
}

// NewGraph returns the graph of so many vertices with these edges.
func NewGraph(vertices int, ends [][2]int32) *Graph {
	g := &Graph{Ends: ends, first: make([]int32, vertices+1), incident: make([]int32, 2*len(ends))}
	for _, pair := range ends {
		g.first[pair[0]+1]++
		g.first[pair[1]+1]++
	}
	for v := range vertices {
		g.first[v+1] += g.first[v]
	}
	next := make([]int32, vertices)
	copy(next, g.first)
	for e, pair := range ends {
		for _, v := range pair {
			g.incident[next[v]] = int32(e)
			next[v]++
		}
	}
	return g
}

func (g *Graph) vertices() int { return len(g.first) - 1 }

// At returns the edges at a vertex, absent ones included.
func (g *Graph) At(v int32) []int32 { return g.incident[g.first[v]:g.first[v+1]] }

// Far returns the end of an edge that is not v.
func (g *Graph) Far(e, v int32) int32 { return g.Ends[e][0] + g.Ends[e][1] - v }

func (g *Graph) present(e int32) bool { return g.Absent == nil || !g.Absent[e] }
