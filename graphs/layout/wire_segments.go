package layout

// A wire is drawn in pieces. A piece lies in one channel, the space between two
// columns; where a wire passes a column on its way it goes by a knot, a node of
// no size that takes part in the order of the column like a box.

// node is a box or a knot in a column.
type node struct {
	device int // -1: a knot
	wire   int // of a knot
	layer  int
	y      float64 // upper edge
	height float64
	round  int // of a knot by which a wire goes round a box: the box's node; else -1
}

// hook is where a piece ends.
type hook struct {
	node     int
	terminal int // -1: at a knot
	side     Side
}

// component runs from a to b. On the left edge of its channel are right sides of
// boxes, on the right edge left sides.
type component struct {
	wire    int
	channel int
	a, b    hook
}

// across says that the piece leads from one column to the next.
func (p *component) across() bool { return p.a.side != p.b.side }

// multigraph is the layered graph.
type multigraph struct {
	*sheet
	layer  []int // of a device
	forms  []*form
	spot   []spot // of a terminal
	nodes  []node // boxes first: node d is device d
	pieces []component
	path   [][]int // the pieces of each wire, from From to To
	column [][]int // the nodes of each layer, from top to bottom

	leftOf, rightOf, besides [][]int // pieces at a node: on its left across, on its right across, within the column
}

func newWeb(s *sheet, layer []int) *multigraph {
	w := &multigraph{sheet: s, layer: layer, forms: make([]*form, len(s.devices)), spot: make([]spot, len(s.terminals))}
	votes := make([]int, len(s.terminals))
	columns := 0
	for _, wire := range s.wires {
		a, b := layer[s.deviceOf[wire.from]], layer[s.deviceOf[wire.to]]
		if a < b {
			votes[wire.from]++
			votes[wire.to]--
		} else if a > b {
			votes[wire.from]--
			votes[wire.to]++
		}
	}
	for d := range s.devices {
		w.forms[d] = s.shape(d, votes)
		w.nodes = append(w.nodes, node{device: d, wire: -1, layer: layer[d], height: w.forms[d].height, round: -1})
		columns = max(columns, layer[d]+1)
	}
	w.settle()
	w.column = make([][]int, columns)
	for d := range s.devices {
		if layer[d] >= 0 {
			w.column[layer[d]] = append(w.column[layer[d]], d)
		}
	}
	w.path = make([][]int, len(s.wires))
	for i := range s.wires {
		w.string(i)
	}
	w.index()
	return w
}

// settle notes the spots of all ports as the forms have them.
func (w *multigraph) settle() {
	for _, f := range w.forms {
		f.spots(func(t int, at spot) { w.spot[t] = at })
	}
}

// can says whether a wire may reach a terminal from a side.
func (w *multigraph) can(terminal int, side Side) bool {
	return w.spot[terminal].through || w.spot[terminal].side == side
}

// string lays a wire through the channels.
func (w *multigraph) string(i int) {
	wire := w.wires[i]
	t1, t2 := wire.from, wire.to
	l1, l2 := w.layer[w.deviceOf[t1]], w.layer[w.deviceOf[t2]]
	turned := l1 > l2
	if turned {
		t1, t2, l1, l2 = t2, t1, l2, l1
	}
	d1, d2 := w.deviceOf[t1], w.deviceOf[t2]
	var path []int
	add := func(channel int, a, b hook) {
		path = append(path, len(w.pieces))
		w.pieces = append(w.pieces, component{wire: i, channel: channel, a: a, b: b})
	}
	if l1 == l2 {
		switch {
		case w.can(t1, Left) && w.can(t2, Left):
			add(l1, hook{d1, t1, Left}, hook{d2, t2, Left})
		case w.can(t1, Right) && w.can(t2, Right):
			add(l1+1, hook{d1, t1, Right}, hook{d2, t2, Right})
		case w.can(t1, Left):
			k := w.knot(i, l1, d1)
			add(l1, hook{d1, t1, Left}, hook{k, -1, Left})
			add(l1+1, hook{k, -1, Right}, hook{d2, t2, Right})
		default:
			k := w.knot(i, l1, d1)
			add(l1+1, hook{d1, t1, Right}, hook{k, -1, Right})
			add(l1, hook{k, -1, Left}, hook{d2, t2, Left})
		}
		w.path[i] = path
		return
	}
	at := hook{d1, t1, Right}
	if !w.can(t1, Right) {
		k := w.knot(i, l1, d1)
		add(l1, hook{d1, t1, Left}, hook{k, -1, Left})
		at = hook{k, -1, Right}
	}
	for l := l1 + 1; l < l2; l++ {
		k := w.knot(i, l, -1)
		add(l, at, hook{k, -1, Left})
		at = hook{k, -1, Right}
	}
	if w.can(t2, Left) {
		add(l2, at, hook{d2, t2, Left})
	} else {
		k := w.knot(i, l2, d2)
		add(l2, at, hook{k, -1, Left})
		add(l2+1, hook{k, -1, Right}, hook{d2, t2, Right})
	}
	if turned { // the path leads from From to To
		for a, b := 0, len(path)-1; a < b; a, b = a+1, b-1 {
			path[a], path[b] = path[b], path[a]
		}
		for _, p := range path {
			w.pieces[p].a, w.pieces[p].b = w.pieces[p].b, w.pieces[p].a
		}
	}
	w.path[i] = path
}

func (w *multigraph) knot(wire, layer, round int) int {
	w.nodes = append(w.nodes, node{device: -1, wire: wire, layer: layer, round: round})
	w.column[layer] = append(w.column[layer], len(w.nodes)-1)
	return len(w.nodes) - 1
}

func (w *multigraph) index() {
	w.leftOf = make([][]int, len(w.nodes))
	w.rightOf = make([][]int, len(w.nodes))
	w.besides = make([][]int, len(w.nodes))
	for i := range w.pieces {
		p := &w.pieces[i]
		if !p.across() {
			w.besides[p.a.node] = append(w.besides[p.a.node], i)
			w.besides[p.b.node] = append(w.besides[p.b.node], i)
			continue
		}
		for _, h := range []hook{p.a, p.b} {
			if h.side == Left {
				w.leftOf[h.node] = append(w.leftOf[h.node], i)
			} else {
				w.rightOf[h.node] = append(w.rightOf[h.node], i)
			}
		}
	}
}

// drop is how far a hook lies below the upper edge of its node.
func (w *multigraph) drop(h hook) float64 {
	if h.terminal < 0 {
		return 0
	}
	return w.forms[w.nodes[h.node].device].rowAt(w.spot[h.terminal].row)
}

// height is where a hook lies.
func (w *multigraph) height(h hook) float64 { return w.nodes[h.node].y + w.drop(h) }

// ends returns a piece's hook at a node and the one at its other end.
func (w *multigraph) ends(p, node int) (near, far hook) {
	if w.pieces[p].a.node == node {
		return w.pieces[p].a, w.pieces[p].b
	}
	return w.pieces[p].b, w.pieces[p].a
}
