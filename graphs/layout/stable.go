package layout

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"bellout/model"
)

// keep changes a plan that people know as little as the map's change asks for:
// boxes stay, but for those that were dragged, those that a dragged one stands
// on, and those whose terminals are others now; new ones go beside what they
// are wired to. A wire keeps its way as long as both of its ends and all the
// ground under it do.
type keep struct {
	*builder
	previous *Plan
	web      *multigraph // forms for boxes that are new; nil until one is
	stands   []bool
	ground   ground
	labelAt  []int       // of a wire: its name's number on the ground
	nameOf   map[int]int // the wire of such a number
	kept     []bool      // of each box on the ground: it stands where it stood
	onGround []int       // the device of each
	old      []int       // the place in previous.Boxes; -1
}

// from computes a plan that keeps to a previous one.
func (s *sheet) from(previous *Plan, options Options) (*Plan, error) {
	k := &keep{builder: newBuilder(s), previous: previous, ground: newGround(previous.Bounds)}
	s.progress(0, "keeping what stands")
	k.boxes(options)
	if err := s.ctx.Err(); err != nil {
		return nil, err
	}
	if err := k.wires(); err != nil {
		return nil, err
	}
	plan := k.finish()
	s.progress(1, "done")
	return plan, nil
}

// form returns how a device is drawn that was not there before, or not so.
func (k *keep) form(d int) *form {
	if k.web == nil {
		k.web = newWeb(k.sheet, k.layers(k.flow()))
	}
	return k.web.forms[d]
}

// boxes finds a place for every box.
func (k *keep) boxes(options Options) {
	count := len(k.devices)
	k.old = make([]int, count)
	k.stands = make([]bool, count)
	for d := range k.devices { // as it was, else with a form of its own, where it is
		old, found := k.previous.Box(k.devices[d].Ref)
		k.old[d] = -1
		if found {
			k.old[d] = old
		}
		switch {
		case found && k.alike(d, old):
			k.copyBox(d, old)
		default:
			layer := -1
			at := Point{}
			if found {
				layer, at = k.previous.Boxes[old].Layer, k.previous.Boxes[old].Min
			}
			k.box(d, k.form(d), at, layer)
		}
	}
	snap := func(p Point) Point {
		return Point{math.Round(p.X/Grid) * Grid, math.Round(p.Y/Grid) * Grid}
	}
	for _, d := range k.inOrder(options.Pinned) { // dragged ones first: others give way
		k.plan.Boxes[d].Pinned = true
		k.settleAt(d, snap(options.Pinned[k.devices[d].Ref]))
	}
	// Then all that can stay, and last those that have to give way, so that they
	// do not push others in turn.
	for _, giveWay := range []bool{false, true} {
		for d := range k.devices {
			if k.stands[d] || k.old[d] < 0 {
				continue
			}
			if at := k.previous.Boxes[k.old[d]].Min; giveWay || k.canStay(d, at) {
				k.settleAt(d, at)
			}
		}
	}
	for _, d := range k.inOrder(options.Saved) {
		if !k.stands[d] {
			k.settleAt(d, snap(options.Saved[k.devices[d].Ref]))
		}
	}
	for {
		// Of those that are new, the one with most wires to what stands comes next.
		best, most := -1, -1
		ties := k.ties()
		for d := range k.devices {
			if !k.stands[d] && len(ties[d]) > most {
				best, most = d, len(ties[d])
			}
		}
		if best < 0 {
			return
		}
		k.settleAt(best, k.beside(best, ties[best]))
	}
}

func (k *keep) inOrder(at map[string]Point) []int {
	var order []int
	for _, ref := range slices.SortedFunc(maps.Keys(at), model.Compare) {
		if d, found := k.plan.Box(ref); found {
			order = append(order, d)
		}
	}
	return order
}

// alike says that a device is drawn as before.
func (k *keep) alike(d, old int) bool {
	box, device := &k.previous.Boxes[old], &k.devices[d]
	if box.Kind != device.Kind || len(box.Ports) != k.first[d+1]-k.first[d] || box.Shape != k.shapeOf(d) || box.title != device.Title {
		return false
	}
	for i := range box.Ports {
		if box.Ports[i].Terminal != k.terminals[k.first[d]+i].Ref() {
			return false
		}
		if box.Ports[i].Side == Inside && k.degree[k.first[d]+i] > 0 {
			return false // a wire cannot reach it there
		}
	}
	return true
}

// copyBox takes a box over from the previous plan.
func (k *keep) copyBox(d, old int) {
	from := &k.previous.Boxes[old]
	box := *from
	box.Zone = k.devices[d].Zone
	box.Pinned = false
	box.Ports = slices.Clone(from.Ports)
	box.Header = slices.Clone(from.Header)
	number := len(k.plan.Boxes)
	take := func(l int) int {
		label := k.previous.Labels[l]
		label.Box = number
		k.plan.Labels = append(k.plan.Labels, label)
		return len(k.plan.Labels) - 1
	}
	for i := range box.Header {
		box.Header[i] = take(box.Header[i])
	}
	for i := range box.Ports {
		p := &box.Ports[i]
		t := k.first[d] + i
		p.Wired = k.degree[t] > 0
		k.port[t] = End{number, i}
		if p.Label >= 0 {
			p.Label = take(p.Label)
		}
	}
	k.plan.byDevice[box.Device] = number
	k.plan.Boxes = append(k.plan.Boxes, box)
	k.rails(d, number)
}

// size is how wide and tall a box is.
func (b *Box) size() Point { return Point{b.Max.X - b.Min.X, b.Max.Y - b.Min.Y} }

// canStay says that a box is as it was and has its old place free.
func (k *keep) canStay(d int, at Point) bool {
	box := &k.plan.Boxes[d]
	return k.previous.Boxes[k.old[d]].size() == box.size() && k.free(d, at, true)
}

// settleAt puts a box as near to a point as others let it.
func (k *keep) settleAt(d int, at Point) {
	kept := k.old[d] >= 0 && k.previous.Boxes[k.old[d]].Min == at && k.canStay(d, at)
	if !kept && !k.free(d, at, false) {
		at = k.nearest(d, at)
	}
	k.move(d, at)
	k.stands[d] = true
	k.ground.boxes.add(k.plan.Boxes[d].Rect)
	k.kept = append(k.kept, kept)
	k.onGround = append(k.onGround, d)
}

// tie is a wire from a device to a port that stands.
type tie struct {
	own  int // the terminal of the device
	port *Port
	box  *Box
}

func (k *keep) ties() [][]tie {
	ties := make([][]tie, len(k.devices))
	for _, w := range k.sheet.wires {
		for _, ends := range [][2]int{{w.from, w.to}, {w.to, w.from}} {
			d, other := k.deviceOf[ends[0]], k.deviceOf[ends[1]]
			if k.stands[d] || !k.stands[other] {
				continue
			}
			end := k.port[ends[1]]
			box := &k.plan.Boxes[end.Box]
			ties[d] = append(ties[d], tie{ends[0], &box.Ports[end.Port], box})
		}
	}
	return ties
}

// beside is where a new box would like to stand: on the side of its neighbours
// that their ports face, its own port level with theirs.
func (k *keep) beside(d int, ties []tie) Point {
	box := &k.plan.Boxes[d]
	if len(ties) == 0 {
		bounds := k.previous.Bounds
		return Point{math.Round((bounds.Min.X+3*Grid)/Grid) * Grid, math.Round((bounds.Max.Y+2*Grid)/Grid) * Grid}
	}
	const away = 12 * Grid
	var xs, ys []float64
	for _, t := range ties {
		own := &box.Ports[k.port[t.own].Port]
		right := t.port.Side == Right || t.port.Through && own.Side == Left
		if right {
			xs = append(xs, t.box.Max.X+away)
		} else {
			xs = append(xs, t.box.Min.X-away-(box.Max.X-box.Min.X))
		}
		ys = append(ys, t.port.At.Y-(own.At.Y-box.Min.Y))
	}
	slices.SortFunc(xs, cmp.Compare[float64])
	slices.SortFunc(ys, cmp.Compare[float64])
	return Point{math.Round(xs[len(xs)/2]/Grid) * Grid, math.Round(ys[len(ys)/2]/Grid) * Grid}
}
