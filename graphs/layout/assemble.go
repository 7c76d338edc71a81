package layout

import (
	"math"
	"slices"
)

// up rounds up to the grid.
func up(x float64) float64 { return math.Ceil(x/Grid) * Grid }

// columnPlace is where a column and its channel lie.
type columnPlace struct {
	left, right float64 // of the column's boxes
}

// assemble turns columns, rows and tracks into a plan.
func (w *multigraph) assemble(channels []channel) *Plan {
	b := newBuilder(w.sheet)
	tags, tagOf := w.tagged()
	columns, lines := w.widths(channels, tags)
	for d := range w.devices {
		f := w.forms[d]
		var at Point
		if l := w.layer[d]; l >= 0 {
			free := columns[l].right - columns[l].left - f.width
			at = Point{columns[l].left + math.Floor(free/2/Grid)*Grid, w.nodes[d].y}
		}
		b.box(d, f, at, w.layer[d])
	}
	for i := range w.wires {
		b.route(i, w.points(i, channels, columns, lines, b.plan))
	}
	for i := range w.wires {
		if len(w.path[i]) == 0 {
			continue
		}
		t := tagOf[i]
		offset := 3.0
		for _, other := range tags[t] {
			if other == i {
				break
			}
			offset += w.tagRoom([]int{other})
		}
		b.wireLabel(i, t, offset)
	}
	b.packLoose(w.forms)
	return b.finish()
}

// widths lays columns and channels beside one another. lines[c] is where the
// first track of channel c stands.
func (w *multigraph) widths(channels []channel, tags map[tag][]int) (columns []columnPlace, lines []float64) {
	columns = make([]columnPlace, len(w.column))
	lines = make([]float64, len(channels))
	wide := make([]float64, len(w.column))
	for d := range w.devices {
		if l := w.layer[d]; l >= 0 {
			wide[l] = max(wide[l], w.forms[d].width)
		}
	}
	// room[l][side] is what names need beside a column.
	room := make([][2]float64, len(w.column))
	for t, list := range tags {
		d := w.deviceOf[t.terminal]
		l := w.layer[d]
		free := wide[l] - w.forms[d].width
		slack := math.Floor(free/2/Grid) * Grid
		if t.side == Right {
			slack = free - slack
		}
		room[l][t.side] = max(room[l][t.side], w.tagRoom(list)-slack)
	}
	x := 0.0
	for c := range channels {
		before, after := 0.0, 0.0
		if c > 0 {
			before = room[c-1][Right]
		}
		if c < len(w.column) {
			after = room[c][Left]
		}
		x = up(x + before + 4)
		lines[c] = x
		if channels[c].tracks > 0 {
			x += trackStep * float64(channels[c].tracks-1)
		}
		x = up(x + after + 4)
		if c < len(w.column) {
			columns[c] = columnPlace{x, x + wide[c]}
			x += wide[c]
		}
	}
	return columns, lines
}

// points returns the way of a wire.
func (w *multigraph) points(i int, channels []channel, columns []columnPlace, lines []float64, plan *Plan) []Point {
	var way []Point
	at := func(h hook) Point {
		n := &w.nodes[h.node]
		if h.terminal >= 0 {
			box := &plan.Boxes[n.device]
			x := box.Min.X
			if h.side == Right {
				x = box.Max.X
			}
			return Point{x, w.height(h)}
		}
		x := columns[n.layer].left
		if h.side == Right {
			x = columns[n.layer].right
		}
		return Point{x, n.y}
	}
	for _, p := range w.path[i] {
		piece := &w.pieces[p]
		a, b := at(piece.a), at(piece.b)
		way = append(way, a)
		if number, bent := channels[piece.channel].trunkOf[p]; bent {
			trunks := channels[piece.channel].trunks
			x := func(k int) float64 { return lines[piece.channel] + trackStep*float64(trunks[k].track) }
			of := func(h hook) int {
				if h.side == Left && trunks[number].other >= 0 {
					return trunks[number].other
				}
				return number
			}
			xa, xb := x(of(piece.a)), x(of(piece.b))
			way = append(way, Point{xa, a.Y})
			if xa != xb {
				row := trunks[number].row
				way = append(way, Point{xa, row}, Point{xb, row})
			}
			way = append(way, Point{xb, b.Y})
		}
		way = append(way, b)
	}
	return straighten(way)
}

// straighten drops points in the middle of a run, and those that stand twice.
func straighten(way []Point) []Point {
	way = slices.Compact(way)
	kept := way[:0]
	for i, p := range way {
		if len(kept) > 0 && i+1 < len(way) {
			last, next := kept[len(kept)-1], way[i+1]
			if last.X == p.X && p.X == next.X && (p.Y-last.Y)*(next.Y-p.Y) > 0 ||
				last.Y == p.Y && p.Y == next.Y && (p.X-last.X)*(next.X-p.X) > 0 {
				continue
			}
		}
		kept = append(kept, p)
	}
	return kept
}
